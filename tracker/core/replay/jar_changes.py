"""What each fact about a maceration does to its jar.

Each function changes the jar and returns None, or returns how the fact does not fit.
"""

from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import Restored
from tracker.core.facts.fields import HerbFact, Pour
from tracker.core.facts.jars import Charged, Found, HerbAdded, ToppedUp
from tracker.core.replay.intake import flows_in, herb_of, poured, uses_of
from tracker.core.shelf.contents import Contents, Herb, Poured, share
from tracker.core.shelf.end import DiscardedEnd, PressedEnd
from tracker.core.shelf.hold import Hold
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.misfit import AfterEnd, Misfit, NotDiscarded
from tracker.core.values.times import When, midnight, parse_period


def born(entry: Entry) -> str:
    """When a jar was written down, and by whom: a key for who came first to a code."""
    return f"{entry.recorded.isoformat()} {entry.source} {entry.sequence:010d}"


def charged(entry: Entry, fact: Charged) -> Jar:
    """The jar as its charge leaves it."""
    uses = tuple(uses_of(entry, fact, fact.pours))
    return Jar(
        id=entry.id,
        code=fact.code,
        herb=fact.herb,
        common=fact.common,
        part=fact.part,
        form=fact.form,
        herbs=(herb_of(entry, fact),),
        marc_g=fact.herb_g,
        charged=entry.when,
        preparation=fact.preparation,
        born=born(entry),
        pours=poured(entry, fact.pours),
        costs=uses,
        uses=uses,
        sources=tuple(flows_in(entry, uses)) if uses else (),
        lots=fact.lots,
        named_g=fact.herb_g if len(fact.lots) == 1 and fact.herb_lot is None else None,
        jar_ml=fact.jar_ml,
        lid=fact.lid,
        barrier=fact.barrier,
        place=fact.place,
        least=parse_period(fact.least),
        longest=parse_period(fact.longest) if fact.longest else None,
        shake=fact.shake,
        look_days=fact.look_days,
        ratio_meant=fact.ratio_meant,
        ratio_basis=fact.ratio_basis,
    )


def found(entry: Entry, fact: Found) -> Jar:
    """A jar of unknown history: what is in it cannot be reckoned, and it is on hold.

    Where nobody guessed when it was charged, that is not known; where nobody guessed the
    shortest time, neither is when it is ready.
    """
    herb = Herb(entry.id, fact.herb, fact.form, None, fact.part, "unknown")
    pours: tuple[Poured, ...] = ()
    if fact.volume_ml is not None:
        pours = (Poured(entry.when, "other", fact.volume_ml, 0.0, known="unknown"),)
    return Jar(
        id=entry.id,
        code=fact.code,
        herb=fact.herb,
        common=fact.common,
        part=fact.part,
        form=fact.form,
        herbs=(herb,),
        pours=pours,
        charged=charge_guessed(entry, fact) or When(entry.when.start, "unknown"),
        charge_guessed=fact.charged_from is not None,
        preparation="other",
        least=parse_period(fact.least) if fact.least else None,
        longest=parse_period(fact.longest) if fact.longest else None,
        born=born(entry),
        opened="found",
        jar_ml=fact.jar_ml,
        lid=fact.lid,
        barrier=fact.barrier,
        place=fact.place,
        hold=Hold(entry.id, entry.when, "its history is not known", "found"),
    )


def charge_guessed(entry: Entry, fact: Found) -> When | None:
    """When a found jar may have been charged, if somebody guessed."""
    if fact.charged_from is None:
        return None
    zone = entry.when.start.tzinfo
    assert zone is not None
    return When(midnight(fact.charged_from, zone), fact.charged_precision)


def take_in(jar: Jar, entry: Entry, herb: HerbFact | None, pours: tuple[Pour, ...]) -> None:
    """Put herb and pours into a jar, with what they cost and where they came from."""
    uses = tuple(uses_of(entry, herb, pours))
    jar.costs += uses
    jar.uses += uses
    jar.sources += tuple(flows_in(entry, uses))
    own = poured(entry, pours)
    jar.pours += own
    herbs = () if herb is None else (herb_of(entry, herb),)
    jar.herbs += herbs
    if jar.liquid_ml is not None:
        jar.liquid_ml += Contents(herbs, own).volume_ml


def over(jar: Jar, when: When, did: str) -> AfterEnd | None:
    """How something done to a maceration at that time does not fit: it was over.

    On the day of a pressing it may have been before it; what went elsewhere is there no more.
    """
    if jar.end is None:
        return None
    is_marc = isinstance(jar.end, PressedEnd) or did == "shaken"
    if is_marc and when.earliest <= jar.end.on.latest:
        return None
    return AfterEnd(did, when, jar.end)


def shaken(jar: Jar, when: When) -> Misfit | None:
    """The herb was shaken; a shake after the pressing counts for nothing."""
    if not jar.is_macerating and (misfit := over(jar, when, "shaken")):
        return misfit
    jar.shakes += 1
    jar.last_shaken = when
    jar.last_touched = when
    return None


def topped_up(jar: Jar, entry: Entry, fact: ToppedUp) -> Misfit | None:
    """More menstruum stands on the herb."""
    if misfit := over(jar, entry.when, fact.kind):
        return misfit
    take_in(jar, entry, None, fact.pours)
    jar.last_touched = entry.when
    return None


def herb_added(jar: Jar, entry: Entry, fact: HerbAdded) -> Misfit | None:
    """More herb lies in the jar; its shortest time begins again."""
    if misfit := over(jar, entry.when, fact.kind):
        return misfit
    take_in(jar, entry, fact, ())
    jar.marc_g = _sum(jar.marc_g, fact.herb_g)
    jar.herb_added = jar.last_touched = entry.when
    return None


def _sum(one: float | None, other: float | None) -> float | None:
    return None if one is None or other is None else one + other


def take_share(jar: Jar, part: float) -> None:
    """Leave so much of the liquid in the jar; herb and lid stay as they are."""
    left = share(jar.contents, part)
    jar.herbs, jar.pours, jar.costs = left.herbs, left.pours, left.costs
    jar.liquid_ml = left.ml


def discarded(jar: Jar, entry: Entry) -> Misfit | None:
    """Herb and menstruum were thrown out."""
    if jar.end is not None:
        return AfterEnd("discarded", entry.when, jar.end)
    jar.end = DiscardedEnd(entry.when, entry.id)
    return None


def restored(jar: Jar, fact: Restored) -> Misfit | None:
    """A jar thrown out is back on the shelf."""
    if not isinstance(jar.end, DiscardedEnd) or jar.end.event != fact.discard:
        return NotDiscarded()
    jar.end = None
    return None
