"""What may be recorded next. Raises with the reason; writes nothing.

Stricter than replay on purpose: a slip is caught while the person is still at the scales.
"""

from collections.abc import Iterable
from datetime import datetime, timedelta

from tracker.core import reckon
from tracker.core.amend import AMENDING
from tracker.core.errors import RefusedError
from tracker.core.events import Entry, Unknown
from tracker.core.facts.jars import Charged
from tracker.core.facts.liquors import Bottled, Counted, Discarded, Dispensed, Filtered, Pressed
from tracker.core.shelf import DROP_ML, Jar, Liquor, Thing
from tracker.core.times import When

# Clocks of two machines differ by a little.
CLOCK_SLACK = timedelta(minutes=5)


def happened(code: str, when: When, now: datetime) -> None:
    """Refuse a time that has not come yet."""
    if when.precision != "unknown" and when.start > now + CLOCK_SLACK:
        raise RefusedError(
            code, f"{when} lies in the future", do="give the day it happened with --when."
        )


def known_to_its_end(entries: Iterable[Entry]) -> None:
    """Refuse to go on with a history that holds what this program does not know."""
    for entry in entries:
        if isinstance(entry.fact, Unknown):
            kind = entry.kind.replace("_", " ")
            raise RefusedError(
                entry.subject,
                f"its history holds {kind}, a kind or version not known here",
                do="open it with a newer stillroom.",
            )


def same(first: Entry, second: Entry) -> None:
    """Refuse to call two records one happening that cannot be."""
    if first.id == second.id:
        raise RefusedError(first.subject, "that is one event, named twice", do="name two.")
    if isinstance(first.fact, AMENDING) or isinstance(second.fact, AMENDING):
        raise RefusedError(first.subject, "an amendment is no happening", do="strike it.")
    if first.kind != second.kind:
        kinds = f"{first.kind} and {second.kind}".replace("_", " ")
        raise RefusedError(
            first.subject, f"{kinds} are no one happening", do="name two events of one kind."
        )
    if isinstance(first.fact, Charged) or first.jars != second.jars:
        raise RefusedError(
            second.subject,
            "the two are about different jars",
            do="if it is one jar, strike what was recorded of the other.",
        )


def work_on_herb(thing: Thing, when: When, verb: str) -> None:
    """Refuse to shake or top up what is no longer macerating at that time."""
    jar = must_be_jar(thing, verb)
    ended = jar.ended_on
    if ended is not None and when.earliest > ended.latest:
        how = jar.ended if jar.ended in ("split", "joined") else "already pressed"
        raise RefusedError(
            jar.code,
            f"it was {how}, on {ended}",
            do=f"for an earlier day add --when; see `stillroom history {jar.code}`.",
        )
    _not_discarded(jar)


def must_be_jar(thing: Thing, verb: str) -> Jar:
    """The jar a code names; refuses a liquor or bottle."""
    if thing.kind != "jar":
        raise RefusedError(
            thing.code,
            f"it is a {thing.kind}, and only a jar can be {verb}",
            do=f"name the jar: {thing.jar.code}.",
        )
    return thing.jar


def must_be_liquor(thing: Thing, verb: str) -> Liquor:
    """The liquor a code names, or the only one of a jar; refuses a bottle."""
    if thing.bottle is None and thing.liquor is not None:
        return thing.liquor
    if thing.kind == "jar" and len(thing.jar.liquors) == 1:
        return thing.jar.liquors[0]
    if thing.kind == "jar":
        state = "has not been pressed yet" if not thing.jar.liquors else "has several liquors"
        do = f"press it first: stillroom press {thing.code} 300ml."
        raise RefusedError(thing.code, f"it {state}, so nothing can be {verb}", do=do)
    raise RefusedError(
        thing.code,
        f"it is a bottle, and only a liquor can be {verb}",
        do=f"name the liquor: {thing.code.rpartition('/')[0]}.",
    )


def _not_discarded(jar: Jar) -> None:
    if jar.discarded is not None:
        raise RefusedError(
            jar.code,
            f"it was discarded on {jar.discarded}",
            do=f"if that was wrong: stillroom restore {jar.code}.",
        )


def press(thing: Thing, fact: Pressed) -> None:
    """Refuse a second pressing of one steep, and more than ever went in."""
    jar = must_be_jar(thing, "pressed")
    first = jar.pressing
    if first is not None:
        raise RefusedError(
            jar.code,
            f"it was already pressed, on {first.pressed}, {first.pressed_ml:g} ml",
            do="to mend that record, `stillroom history` shows its number for `correct`.",
        )
    _not_discarded(jar)
    within_bound(jar, fact.volume_ml)


def within_bound(jar: Jar, pressed_ml: float) -> None:
    """Refuse more out of a jar than ever went in."""
    bound_ml = reckon.hard_bound_ml(jar)
    if bound_ml is not None and pressed_ml > bound_ml + DROP_ML:
        raise RefusedError(
            jar.code,
            f"{pressed_ml:.1f} ml is more than ever went in ({bound_ml:.1f} ml with the "
            "water of the herb)",
            do="read the measure again: ml or oz? Is it this jar?",
        )


def filter_(thing: Thing, fact: Filtered) -> None:
    """Refuse more after the filter than before."""
    liquor = must_be_liquor(thing, "filtered")
    _within(thing.code, fact.volume_ml, fact.before_ml or liquor.volume_ml, "in the liquor")


def bottle(thing: Thing, fact: Bottled) -> None:
    """Refuse to fill more than there is."""
    liquor = must_be_liquor(thing, "bottled")
    wanted_ml = sum(run.size_ml * run.count for run in fact.bottles)
    _within(thing.code, wanted_ml, liquor.volume_ml, "in the liquor")


def dispense(thing: Thing, fact: Dispensed) -> None:
    """Refuse to give out what is on hold, or more than there is."""
    if thing.bottle is None:
        must_be_liquor(thing, "dispensed")
    not_held(thing)
    _take(thing, fact.volume_ml)


def not_held(thing: Thing) -> None:
    """Refuse to take from what is on hold, or whose jar is."""
    held: list[tuple[str, Jar | Liquor]] = [(thing.jar.code, thing.jar)]
    if thing.liquor is not None:
        held.append((thing.jar.liquor_code(thing.liquor), thing.liquor))
    for code, one in held:
        if one.hold is not None:
            why, free = f"since {one.hold.on}: {one.hold.why}", f"release {code} --why …"
        elif one.look is not None and one.look.verdict == "hold":
            why, free = f"since {one.look.on}", f"look {code} --verdict fine"
        else:
            continue
        raise RefusedError(
            thing.code,
            f"{'it' if code == thing.code else code} is on hold {why}",
            do=f"look at it again first: stillroom {free}.",
        )


def discard(thing: Thing, fact: Discarded) -> None:
    """Refuse to throw out what is gone, part of a jar, or more than there is."""
    if thing.kind != "jar":
        _take(thing, fact.volume_ml)
        return
    _not_discarded(thing.jar)
    if thing.jar.ended is not None and thing.jar.liquors:
        codes = ", ".join(thing.jar.liquor_code(one) for one in thing.jar.liquors)
        raise RefusedError(thing.code, "it was pressed", do=f"discard its liquor: {codes}.")
    if fact.volume_ml is not None:
        raise RefusedError(thing.code, "a jar is discarded whole", do="leave the volume out.")


def count(thing: Thing, fact: Counted) -> None:
    """Refuse a count that cannot be: more than a bottle holds or a pressing gave."""
    if thing.bottle is not None:
        _within(thing.code, fact.volume_ml, thing.bottle.size_ml, "the bottle holds")
        return
    liquor = must_be_liquor(thing, "counted")
    _within(thing.code, fact.volume_ml, liquor.pressed_ml, "was ever pressed")


def _take(thing: Thing, volume_ml: float | None) -> None:
    there_ml = (
        thing.bottle.volume_ml
        if thing.bottle is not None
        else must_be_liquor(thing, "taken").volume_ml
    )
    if there_ml < DROP_ML:
        raise RefusedError(
            thing.code, "there is nothing left", do="`stillroom stock` shows what there is."
        )
    _within(thing.code, volume_ml or there_ml, there_ml, "there")


def _within(code: str, wanted_ml: float, there_ml: float, where: str) -> None:
    if wanted_ml > there_ml + DROP_ML:
        raise RefusedError(
            code,
            f"{wanted_ml:.1f} ml is more than the {there_ml:.1f} ml {where}",
            do="read the measure again; if the book is wrong, `stillroom count` restates it.",
        )
