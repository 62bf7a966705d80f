"""What each fact about a maceration does to its jar.

Each function changes the jar and returns None, or returns how the fact does not fit.
"""

from datetime import date
from typing import Final

from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import Dispensed, Restored
from tracker.core.facts.jars import Charged, Found, HerbAdded, LookedAt, ToppedUp
from tracker.core.herbs.water import water_ml
from tracker.core.practice.practice import Way
from tracker.core.reckoning.amounts import poured_on_ml
from tracker.core.reckoning.weakness import remade
from tracker.core.replay.pours_in import Batches, PutIn, put_in
from tracker.core.shelf.contents import (
    Basis,
    Contents,
    Herb,
    Poured,
    share,
    simmered_pours,
    together,
)
from tracker.core.shelf.end import DiscardedEnd, GivenEnd, PressedEnd
from tracker.core.shelf.fill import Fill
from tracker.core.shelf.hold import Hold, gravest
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.misfit import AfterEnd, Misfit, NotDiscarded
from tracker.core.values.times import When, midnight, parse_period

# The ways whose ratio is always by what came out: all that was poured is never in the jar at once.
BY_VOLUME: Final[tuple[Way, ...]] = ("percolation", "double")


def born(entry: Entry) -> str:
    """When a jar was written down, and by whom: a key for who came first to a code."""
    return f"{entry.recorded.isoformat()} {entry.source} {entry.sequence:010d}"


def charged(batches: Batches, entry: Entry, fact: Charged) -> tuple[Jar, Misfit | None]:
    """The jar as its charge leaves it, and how what was poured over the herb does not fit."""
    basis: Basis = "finished" if fact.way in BY_VOLUME else fact.ratio_basis
    new = put_in(batches, entry, fact, fact.pours)
    of_herb = Contents(basis=basis, charged_g=fact.herb_g if basis == "finished" else None)
    inside = remade(together([new.contents, of_herb]), new.spells, entry.when)
    jar = Jar(
        id=entry.id,
        code=fact.code,
        herb=fact.herb,
        common=fact.common,
        part=fact.part,
        form=fact.form,
        herbs=inside.herbs,
        marc_g=fact.herb_g,
        charged=entry.when,
        preparation=fact.preparation,
        born=born(entry),
        pours=_on_the_fire(inside.pours, fact.way),
        liquid_ml=inside.ml,
        spells=inside.spells,
        costs=inside.costs,
        uses=new.uses,
        sources=new.flows,
        lots=fact.lots,
        named_g=fact.herb_g if len(fact.lots) == 1 and fact.herb_lot is None else None,
        jar_ml=fact.jar_ml,
        lid=fact.lid,
        barrier=fact.barrier,
        place=fact.place,
        belongs_to=fact.belongs_to,
        least=parse_period(fact.least),
        longest=parse_period(fact.longest) if fact.longest else None,
        shake=fact.shake,
        look_days=fact.look_days,
        ratio_meant=fact.ratio_meant,
        ratio_basis=basis,
        basis=inside.basis or basis,
        charged_g=inside.charged_g,
        of_old_marc=inside.again,
        way=fact.way,
        steep_way="maceration" if fact.way == "double" else fact.way,
        best_by=new.past,
        is_undated=new.is_undated,
        hold=new.hold,
    )
    _wet(jar, new.herbs)
    read(jar, entry, fact)
    return jar, new.misfit


def _on_the_fire(pours: tuple[Poured, ...], way: Way) -> tuple[Poured, ...]:
    return simmered_pours(pours) if way == "simmered" else pours


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
        spells=remade(Contents((herb,), pours), (), entry.when).spells,
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
        belongs_to=fact.belongs_to,
        hold=Hold(entry.id, entry.when, "its history is not known", "found"),
    )


def charge_guessed(entry: Entry, fact: Found) -> When | None:
    """When a found jar may have been charged, if somebody guessed."""
    if fact.charged_from is None:
        return None
    zone = entry.when.start.tzinfo
    assert zone is not None
    return When(midnight(fact.charged_from, zone), fact.charged_precision)


def take_in(jar: Jar, new: PutIn, when: When) -> None:
    """Put herb and pours into a jar, with what they cost and where they came from."""
    inside = together([jar.contents, new.contents])
    jar.herbs, jar.pours, jar.costs = inside.herbs, inside.pours, inside.costs
    jar.liquid_ml = inside.ml
    jar.basis, jar.charged_g = inside.basis or jar.basis, inside.charged_g
    jar.of_old_marc = jar.of_old_marc or new.contents.again
    for one in new.herbs:
        if jar.basis == "finished":
            jar.charged_g = _sum(jar.charged_g, one.g)
    jar.spells = remade(jar.contents, (*jar.spells, *new.spells), when).spells
    jar.uses += new.uses
    jar.sources += new.flows
    jar.hold = gravest((jar.hold, new.hold))
    jar.is_undated = jar.is_undated or new.is_undated
    _wet(jar, new.herbs)


def keep_no_longer(jar: Jar, day: date | None) -> None:
    """What will be drawn off or pressed is good through that day at most."""
    if day is not None:
        jar.best_by = day if jar.best_by is None else min(jar.best_by, day)


def _wet(jar: Jar, herbs: tuple[Herb, ...]) -> None:
    """Note the water that herbs brought into a jar."""
    for one in herbs:
        if one.form == "dried":
            jar.dried_water_ml += water_ml(one)
        else:
            jar.fresh_water_ml += water_ml(one)


def read(jar: Jar, entry: Entry, fact: Charged | LookedAt) -> None:
    """Note what the jar stands at, with what is in it now."""
    if fact.filled_ml is None or not jar.is_macerating or jar.again:
        return
    kinds = {(one.herb, one.part, one.form) for one in jar.herbs}
    herb, part, form = min(kinds) if len(kinds) == 1 else (None, None, jar.form)
    is_weighed = all(one.known in ("weighed", "measured", "reckoned") for one in jar.herbs)
    is_measured = is_weighed and fact.filled_known in ("weighed", "measured")
    is_measured = is_measured and all(one.known == "measured" for one in jar.pours)
    jar.fills += (
        Fill(
            entry.id, herb, part, form, fact.filled_ml, poured_on_ml(jar), jar.marc_g, is_measured
        ),
    )


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


def topped_up(batches: Batches, jar: Jar, entry: Entry, fact: ToppedUp) -> Misfit | None:
    """More menstruum stands on the herb."""
    if misfit := over(jar, entry.when, fact.kind):
        return misfit
    new = put_in(batches, entry, None, fact.pours)
    take_in(jar, new, entry.when)
    keep_no_longer(jar, new.past)
    jar.last_touched = entry.when
    return new.misfit


def herb_added(jar: Jar, entry: Entry, fact: HerbAdded) -> Misfit | None:
    """More herb lies in the jar; its shortest time begins again."""
    if misfit := over(jar, entry.when, fact.kind):
        return misfit
    take_in(jar, put_in({}, entry, fact, ()), entry.when)
    jar.marc_g = _sum(jar.marc_g, fact.herb_g)
    jar.herb_added = jar.last_touched = entry.when
    return None


def _sum(one: float | None, other: float | None) -> float | None:
    return None if one is None or other is None else one + other


def take_share(jar: Jar, part: float) -> None:
    """Leave so much of the liquid in the jar; herb and lid stay as they are."""
    left = share(jar.contents, part)
    jar.herbs, jar.pours, jar.costs = left.herbs, left.pours, left.costs
    jar.liquid_ml, jar.charged_g = left.ml, left.charged_g


def discarded(jar: Jar, entry: Entry) -> Misfit | None:
    """Herb and menstruum were thrown out."""
    if jar.end is not None:
        return AfterEnd("discarded", entry.when, jar.end)
    jar.end = DiscardedEnd(entry.when, entry.id)
    return None


def given_out(jar: Jar, entry: Entry, fact: Dispensed) -> Misfit | None:
    """The jar left whole, with its herb in it."""
    if jar.end is not None:
        return AfterEnd(fact.kind, entry.when, jar.end)
    jar.end = GivenEnd(entry.when, entry.id, fact.reference)
    return None


def restored(jar: Jar, fact: Restored) -> Misfit | None:
    """A jar thrown out is back on the shelf."""
    if not isinstance(jar.end, DiscardedEnd) or jar.end.event != fact.discard:
        return NotDiscarded()
    jar.end = None
    return None
