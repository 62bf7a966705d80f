"""What may be recorded next. Raises with the reason; writes nothing.

Stricter than replay on purpose: a slip is caught while the person is still at the scales.
"""

from collections.abc import Iterable
from datetime import datetime, timedelta

from tracker.core.facts.entry import Entry, Unknown
from tracker.core.facts.extracts import (
    Bottled,
    Counted,
    Discarded,
    Dispensed,
    Filtered,
    Pressed,
)
from tracker.core.facts.jars import Charged
from tracker.core.reckoning import amounts
from tracker.core.replay.in_force import AMENDING
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.end import DiscardedEnd, JoinedEnd, SplitEnd, ended_how
from tracker.core.shelf.extract import Bottle, Extract
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Thing
from tracker.core.values.errors import RefusedError
from tracker.core.values.times import When

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


def not_before(thing: Thing, when: When) -> None:
    """Refuse to do something to a thing before there was one."""
    began = [("charged", thing.jar.charged)] if thing.jar else []
    if thing.extract is not None:
        began.append((thing.extract.opened, thing.extract.pressed))
    if thing.bottle is not None:
        began.append(("filled", thing.bottle.filled))
    for how, day in began:
        if when.latest < day.earliest:
            raise RefusedError(
                thing.code,
                f"it was {how} only on {day}, after {when}",
                do="give the right day with --when, or correct the earlier one.",
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
    _not_discarded(jar)
    if jar.end is not None and when.earliest > jar.end.on.latest:
        how = ended_how(jar.end)
        raise RefusedError(
            jar.code,
            f"it was {'already pressed' if how == 'pressed' else how}, on {jar.end.on}",
            do=f"for an earlier day add --when; see `stillroom history {jar.code}`.",
        )


def must_be_jar(thing: Thing, verb: str) -> Jar:
    """The jar a code names; refuses an extract or bottle."""
    jar = thing.jar
    if jar is None or thing.extract is not None:
        raise RefusedError(
            thing.code,
            f"it is a {thing.kind}, and only a jar can be {verb}",
            do="`stillroom shelf` lists the jars." if jar is None else f"name the jar: {jar.code}.",
        )
    return jar


def must_be_extract(thing: Thing, verb: str) -> Extract:
    """The extract a code names, or the only one of a jar; refuses a bottle."""
    if thing.bottle is None and thing.extract is not None:
        return thing.extract
    if thing.bottle is None and len(thing.batch.extracts) == 1:
        return thing.batch.extracts[0]
    if thing.bottle is None:
        state = "has not been pressed yet" if not thing.batch.extracts else "has several extracts"
        do = f"press it first: stillroom press {thing.code} 300ml."
        raise RefusedError(thing.code, f"it {state}, so nothing can be {verb}", do=do)
    raise RefusedError(
        thing.code,
        f"it is a bottle, and only an extract can be {verb}",
        do=f"name the extract: {thing.code.rpartition('/')[0]}.",
    )


def _not_discarded(jar: Jar) -> None:
    if isinstance(jar.end, DiscardedEnd):
        raise RefusedError(
            jar.code,
            f"it was discarded on {jar.end.on}",
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
    bound_ml = amounts.hard_bound_ml(jar)
    if bound_ml is not None and pressed_ml > bound_ml + DROP_ML:
        raise RefusedError(
            jar.code,
            f"{pressed_ml:.1f} ml is more than ever went in ({bound_ml:.1f} ml with the "
            "water of the herb)",
            do="read the measure again: ml or oz? Is it this jar?",
        )


def filter_(thing: Thing, fact: Filtered) -> None:
    """Refuse more after the filter than before."""
    extract = must_be_extract(thing, "filtered")
    _within(thing.code, fact.volume_ml, fact.before_ml or extract.volume_ml, "in the extract")


def bottle(thing: Thing, fact: Bottled) -> None:
    """Refuse to fill more than there is."""
    extract = must_be_extract(thing, "bottled")
    wanted_ml = sum(run.size_ml * run.count for run in fact.bottles)
    _within(thing.code, wanted_ml, extract.volume_ml, "in the extract")


def dispense(thing: Thing, fact: Dispensed) -> None:
    """Refuse to give out what is on hold, or more than there is."""
    if thing.bottle is None:
        must_be_extract(thing, "dispensed")
    not_held(thing)
    _take(thing, fact.volume_ml)


def lot_to_use(lot: Lot, when: When) -> None:
    """Refuse to take from a lot that is on hold, was called back, or was not there yet."""
    if when.latest < lot.on.earliest:
        raise RefusedError(
            lot.code,
            f"it was {lot.how} only on {lot.on}, after {when}",
            do="give the right day with --when, or correct the day of the lot.",
        )
    hold = lot.hold
    if hold is not None:
        raise RefusedError(
            lot.code,
            f"it {'was called back' if lot.recalled else 'is on hold'} since {hold.on}: {hold.why}",
            do=f"take another lot, or release this one: stillroom release {lot.code} --why ….",
        )


def must_be_pressed(jar: Jar, verb: str) -> Extract:
    """The extract of a jar's last steep; refuses where its herb is still in."""
    _not_discarded(jar)
    if jar.pressing is None:
        raise RefusedError(
            jar.code,
            f"its herb was not pressed, so it cannot be {verb}",
            do=f"press it first: stillroom press {jar.code} 300ml.",
        )
    return jar.pressing


def jar_to_recharge(thing: Thing) -> Jar:
    """The jar an extract goes back into; refuses a blend, and a jar with its herb still in."""
    if thing.jar is None:
        raise RefusedError(
            thing.code,
            "a blend came from no one jar, so it cannot be recharged",
            do="charge the new herb, and name the blend among what was poured on.",
        )
    must_be_pressed(thing.jar, "recharged")
    return thing.jar


def draw(thing: Thing, when: When, volume_ml: float) -> Jar:
    """Refuse to draw more off a jar than liquid stands on its herb."""
    not_before(thing, when)
    work_on_herb(thing, when, "drawn from")
    jar = must_be_jar(thing, "drawn from")
    _within(thing.code, volume_ml, jar.contents.volume_ml, "in the jar")
    return jar


def to_share(thing: Thing, when: When, verb: str) -> Jar:
    """Refuse to split or join what is not macerating, or is on hold."""
    jar = must_be_jar(thing, verb)
    not_before(thing, when)
    _not_discarded(jar)
    if isinstance(jar.end, SplitEnd | JoinedEnd):
        raise RefusedError(
            jar.code,
            f"it was {ended_how(jar.end)} already, on {jar.end.on}",
            do=f"name what became of it: stillroom history {jar.code}.",
        )
    if not jar.is_macerating:
        raise RefusedError(
            jar.code,
            f"its herb is out, so it cannot be {verb}",
            do="blend its extract instead.",
        )
    not_held(thing)
    return jar


def take(thing: Thing, volume_ml: float | None) -> None:
    """Refuse to take what is on hold, or more than there is."""
    not_held(thing)
    _take(thing, volume_ml)


def refill(thing: Thing, volume_ml: float) -> None:
    """Refuse to fill a bottle beyond its size, or one that never was a bottle."""
    if thing.bottle is None:
        raise RefusedError(
            thing.code,
            f"it is a {thing.kind}, and only a bottle can be refilled",
            do="name the bottle, such as CAOF-26-01A/1.",
        )
    there_ml = thing.bottle.size_ml - thing.bottle.volume_ml
    if there_ml < DROP_ML:
        raise RefusedError(
            thing.code,
            f"it is full: {thing.bottle.volume_ml:g} ml",
            do="record first what was taken from it: stillroom dispense, discard or count.",
        )
    _within(thing.code, volume_ml, there_ml, "it has room for")


def pour_over(into: Thing, source: Thing) -> None:
    """Refuse to fill a thing from itself."""
    if into.code == source.code:
        raise RefusedError(
            into.code, "it cannot be filled from itself", do="name the other with --from."
        )


def not_held(thing: Thing) -> None:
    """Refuse to take from what is on hold, or whose jar is."""
    held: list[tuple[str, Jar | Extract | Bottle]] = []
    if thing.jar is not None:
        held.append((thing.jar.code, thing.jar))
    if thing.extract is not None:
        held.append((thing.batch.extract_code(thing.extract), thing.extract))
    if thing.bottle is not None:
        held.append((thing.code, thing.bottle))
    for code, one in held:
        if one.hold is None:
            continue
        hold = one.hold
        why = f"since {hold.on}" + (f": {hold.why}" if hold.why else "")
        by_look = hold.kind == "look"
        free = f"look {code} --verdict fine" if by_look else f"release {code} --why …"
        raise RefusedError(
            thing.code,
            f"{'it' if code == thing.code else code} is on hold {why}",
            do=f"look at it again first: stillroom {free}.",
        )


def discard(thing: Thing, fact: Discarded) -> None:
    """Refuse to throw out what is gone, part of a jar, or more than there is."""
    jar = thing.jar
    if jar is None or thing.extract is not None:
        _take(thing, fact.volume_ml)
        return
    _not_discarded(jar)
    if jar.end is not None and jar.extracts:
        codes = ", ".join(jar.extract_code(one) for one in jar.extracts)
        raise RefusedError(thing.code, "it was pressed", do=f"discard its extract: {codes}.")
    if fact.volume_ml is not None:
        raise RefusedError(thing.code, "a jar is discarded whole", do="leave the volume out.")


def count(thing: Thing, fact: Counted) -> None:
    """Refuse a count that cannot be: more than a bottle holds or a pressing gave."""
    if thing.bottle is not None:
        _within(thing.code, fact.volume_ml, thing.bottle.size_ml, "the bottle holds")
        return
    extract = must_be_extract(thing, "counted")
    _within(thing.code, fact.volume_ml, extract.pressed_ml, "was ever pressed")


def _take(thing: Thing, volume_ml: float | None) -> None:
    there_ml = (
        thing.bottle.volume_ml
        if thing.bottle is not None
        else must_be_extract(thing, "taken").volume_ml
    )
    if there_ml < DROP_ML:
        raise RefusedError(
            thing.code, "there is nothing left", do="`stillroom stock` shows what there is."
        )
    _within(thing.code, volume_ml or there_ml, there_ml, "there")


# Spirit and water take less room together than apart, by at most 4 % (OIML R 22, about equal
# parts); measures read twice differ as well, by so much: common practice, no source.
_MOST_OVER, _LEAST_UNDER = 1.05, 0.85


def mixed(code: str, before_ml: float, poured_ml: float, after_ml: float) -> None:
    """Refuse a volume that what was there and what was poured in cannot come to."""
    whole_ml = before_ml + poured_ml
    if not whole_ml * _LEAST_UNDER <= after_ml <= whole_ml * _MOST_OVER:
        raise RefusedError(
            code,
            f"{before_ml:.1f} ml and {poured_ml:.1f} ml do not come to {after_ml:.1f} ml",
            do="read the measure again; if the book is wrong, `stillroom count` restates it.",
        )


def no_more_than(code: str, after_ml: float, before_ml: float) -> None:
    """Refuse more of an extract afterwards than there was before."""
    _within(code, after_ml, before_ml, "in the extract")


def _within(code: str, wanted_ml: float, there_ml: float, where: str) -> None:
    if wanted_ml > there_ml + DROP_ML:
        raise RefusedError(
            code,
            f"{wanted_ml:.1f} ml is more than the {there_ml:.1f} ml {where}",
            do="read the measure again; if the book is wrong, `stillroom count` restates it.",
        )
