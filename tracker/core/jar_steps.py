"""What each fact about a maceration does to its jar.

Each function changes the jar and returns None, or returns why the fact does not fit.
"""

from tracker.core.events import Entry
from tracker.core.facts.amends import Later
from tracker.core.facts.fields import Pour
from tracker.core.facts.jars import Charged, LookedAt, Moved, ToppedUp
from tracker.core.facts.liquors import Pressed, Restored
from tracker.core.liquor_steps import no_liquor
from tracker.core.shelf import Jar, Liquor, Look, Poured
from tracker.core.times import When, parse_period


def charged(entry: Entry, fact: Charged) -> Jar:
    """The jar as its charge leaves it."""
    return Jar(
        id=entry.id,
        code=fact.code,
        herb=fact.herb,
        common=fact.common,
        part=fact.part,
        form=fact.form,
        herb_g=fact.herb_g,
        herb_known=fact.herb_known,
        herb_water_pct_mass=fact.herb_water_pct_mass,
        charged=entry.when,
        preparation=fact.preparation,
        born=f"{entry.recorded.isoformat()} {entry.source} {entry.sequence:010d}",
        pours=[_poured(entry.when, pour) for pour in fact.pours],
        lots=fact.lots,
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


def _poured(when: When, pour: Pour) -> Poured:
    return Poured(
        when,
        pour.liquid,
        pour.volume_ml,
        pour.ethanol_pct_vol,
        name=pour.name,
        known=pour.known,
    )


def _over(jar: Jar, when: When) -> str | None:
    """Why a maceration cannot be worked on at that time: it was over."""
    if jar.liquors and when.earliest > jar.liquors[0].pressed.latest:
        return f"the jar was pressed on {jar.liquors[0].pressed}"
    if jar.discarded is not None and when.earliest > jar.discarded.latest:
        return f"the jar was discarded on {jar.discarded}"
    return None


def shaken(jar: Jar, when: When) -> str | None:
    """The herb was shaken; a shake after the pressing counts for nothing."""
    if not jar.is_macerating and (why := _over(jar, when)):
        return f"shaken on {when}, but {why}"
    jar.shakes += 1
    jar.last_shaken = when
    jar.last_touched = when
    return None


def topped_up(jar: Jar, when: When, fact: ToppedUp) -> str | None:
    """More menstruum stands on the herb."""
    if why := _over(jar, when):
        return f"topped up on {when}, but {why}"
    jar.pours.extend(_poured(when, pour) for pour in fact.pours)
    jar.last_touched = when
    return None


def looked_at(jar: Jar, when: When, fact: LookedAt) -> str | None:
    """The last look says how the thing stands."""
    look = Look(when, fact.verdict, fact.signs, fact.note)
    if fact.about.liquor is None:
        jar.look = look
        jar.last_touched = when
        jar.lid, jar.barrier = _lid_after(jar, fact)
        return None
    liquor = jar.liquor(fact.about.liquor)
    if liquor is None:
        return no_liquor(fact)
    liquor.look = look
    return None


def _lid_after(jar: Jar, fact: LookedAt | Moved) -> tuple[str | None, str | None]:
    """A new lid says nothing of the old one's barrier."""
    if fact.lid is not None:
        return fact.lid, fact.barrier
    return jar.lid, jar.barrier if fact.barrier is None else fact.barrier


def moved(jar: Jar, fact: Moved) -> str | None:
    """It stands elsewhere, or otherwise."""
    if fact.about.liquor is None:
        jar.place = fact.place or jar.place
        jar.jar_ml = fact.jar_ml or jar.jar_ml
        jar.lid, jar.barrier = _lid_after(jar, fact)
        return None
    liquor = jar.liquor(fact.about.liquor)
    if liquor is None:
        return no_liquor(fact)
    liquor.place = fact.place or liquor.place
    return None


def pressed(jar: Jar, entry: Entry, fact: Pressed) -> str | None:
    """The jar gave a liquor; a second pressing of the same steep is a question, not a sum."""
    if jar.liquors:
        first = jar.liquors[0]
        return (
            f"pressed {fact.volume_ml:g} ml, but already pressed on {first.pressed} "
            f"({first.pressed_ml:g} ml); the earlier record stands, until correct, strike or "
            f"same {first.id[-8:]} {entry.id[-8:]} settles it"
        )
    if jar.discarded is not None:
        return f"pressed, but the jar was discarded on {jar.discarded}"
    jar.liquors.append(
        Liquor(
            id=entry.id,
            letter=fact.letter,
            pressed=entry.when,
            pressed_ml=fact.volume_ml,
            volume_ml=fact.volume_ml,
            keeps=parse_period(fact.keeps),
            how=fact.how,
            marc=fact.marc,
            known=fact.known,
        )
    )
    return None


def put_off(jar: Jar, fact: Later) -> str | None:
    """One of its reminders waits, or one of its liquor's; the last word counts."""
    thing = jar.liquor(fact.about.liquor) if fact.about.liquor else jar
    if thing is None:
        return no_liquor(fact)
    thing.put_off[fact.what] = fact.until
    return None


def discarded(jar: Jar, entry: Entry) -> str | None:
    """Herb and menstruum were thrown out."""
    if jar.discarded is not None:
        return f"discarded, but it already was, on {jar.discarded}"
    if jar.liquors:
        return f"discarded, but it was pressed, on {jar.liquors[0].pressed}"
    jar.discarded = entry.when
    jar.discards.append(entry.id)
    return None


def restored(jar: Jar, fact: Restored) -> str | None:
    """A jar thrown out is back on the shelf."""
    if fact.discard not in jar.discards:
        return "restored, but that discard is not in force"
    jar.discards.remove(fact.discard)
    jar.discarded = None
    return None
