"""Replay: what a list of recorded facts means. Accepts whatever was once recorded.

An event that cannot apply, or that looks wrong, becomes a flag with its reason; it never
stops the replay. What may be recorded next is decided elsewhere, in `tracker.core.admit`.
"""

from collections.abc import Iterable
from datetime import date
from typing import assert_never

from tracker.core import jar_steps, liquor_steps
from tracker.core.amend import AMENDING, settle
from tracker.core.codes import relabel, shown_codes
from tracker.core.errors import TrackerError
from tracker.core.events import Entry, Recorded, Unknown
from tracker.core.facts.amends import (
    Away,
    Corrected,
    Labelled,
    Later,
    Noted,
    SameAs,
    Struck,
)
from tracker.core.facts.jars import Charged, LookedAt, Moved, Shaken, ToppedUp
from tracker.core.facts.liquors import (
    Bottled,
    Counted,
    Discarded,
    Dispensed,
    Filtered,
    Pressed,
    Restored,
)
from tracker.core.families import each_once, families
from tracker.core.shelf import HOUSE, Flag, Jar, Shelf

_OF_STOCK = (Filtered, Bottled, Dispensed, Counted, Discarded)


def replay(entries: Iterable[Entry], *, through: date | None = None) -> Shelf:
    """The shelf after these entries, whatever order they come in and however often.

    With `through` it is the shelf as it stood at the end of that day: of what had happened
    by then, with all that is known of it now.
    """
    jars: dict[str, Jar] = {}
    unplaced: dict[Flag, None] = {}
    for jar_id, family in sorted(families(entries, lambda entry: entry).items()):
        jar, flags = life(jar_id, family, through=through)
        if jar is not None:
            jars[jar_id] = jar
        unplaced.update(dict.fromkeys(flags))
    for jar_id, code in shown_codes((j.born, j.id, j.code) for j in jars.values()).items():
        relabel(jars[jar_id], code)
    return Shelf(jars, tuple(unplaced))


def life(
    jar_id: str, entries: list[Entry], *, through: date | None = None
) -> tuple[Jar | None, tuple[Flag, ...]]:
    """One jar's life, from every entry that touches it, up to the end of a day or to the last.

    Returns:
        The jar with its flags, or None where no charge in force opens it; and the flags
        that have no jar to stand on.
    """
    distinct, twice = each_once(entries)
    amended = {one.fact.event for one in distinct if isinstance(one.fact, AMENDING)}
    copies = tuple(flag for flag in twice if flag.event not in amended)
    settled = settle(distinct)
    if jar_id == HOUSE:
        return None, settled.flags + copies
    own = settled.entries
    if amended:  # a correction may have moved an entry to another jar
        own = [entry for entry in own if jar_id in entry.jars]
    if through is not None:
        own = [entry for entry in own if entry.when.earliest <= through]
    birth = next((entry for entry in own if entry.id == jar_id), None)
    if birth is None or not isinstance(birth.fact, Charged):
        strays = tuple(
            Flag(one.id, f"{one.kind.replace('_', ' ')}, but no charge in force opens the jar")
            for one in own
        )
        return None, strays + settled.flags + copies
    try:
        jar = jar_steps.charged(birth, birth.fact)
    except TrackerError as reason:
        return None, (Flag(birth.id, reason.what), *settled.flags, *copies)
    jar.flags.extend((*settled.flags, *copies))
    waiting = {
        entry.id: entry
        for entry in own
        if entry is not birth and not isinstance(entry.fact, Shaken)
    }
    for entry in own:
        if isinstance(entry.fact, Shaken):  # most of any history, and opens nothing
            _apply(jar, entry)
        elif entry.id in waiting:
            _apply_next(jar, entry, waiting)
    return jar, ()


def _apply_next(jar: Jar, entry: Entry, waiting: dict[str, Entry]) -> None:
    """Apply one entry, but first whatever opens the thing it is about.

    Days are often all that is known of two events, so their order within a day is not; a
    thing is opened before it is used all the same.
    """
    stack = [waiting.pop(entry.id)]
    while stack:
        opener = _opener(jar, stack[-1].fact, waiting)
        if opener is None:
            _apply(jar, stack.pop())
        else:
            stack.append(waiting.pop(opener.id))


def _apply(jar: Jar, entry: Entry) -> None:
    try:
        why = _step(jar, entry, entry.fact) or _misdated(jar, entry)
    except TrackerError as reason:
        why = reason.what
    if why:
        asks = isinstance(entry.fact, Pressed) and jar.liquor(entry.id) is None
        jar.flags.append(Flag(entry.id, why, asks=asks and bool(jar.liquors)))


def _opener(jar: Jar, fact: Recorded, waiting: dict[str, Entry]) -> Entry | None:
    if isinstance(fact, Restored):
        return waiting.get(fact.discard)
    if isinstance(fact, Charged | Shaken | Away | Corrected | Struck | SameAs | Unknown):
        return None
    if fact.about.liquor is None:
        return None
    liquor = jar.liquor(fact.about.liquor)
    if liquor is None:
        return waiting.get(fact.about.liquor)
    number = fact.about.bottle
    if number is None or liquor.bottle(number):
        return None
    return next((one for one in waiting.values() if _fills(one, liquor.id, number)), None)


def _fills(entry: Entry, liquor_id: str, number: int) -> bool:
    fact = entry.fact
    return (
        isinstance(fact, Bottled)
        and fact.about.liquor == liquor_id
        and any(run.first <= number < run.first + run.count for run in fact.bottles)
    )


def _misdated(jar: Jar, entry: Entry) -> str | None:
    # Instants first: nearly every entry passes, and a day costs more to work out.
    if entry.when.start < jar.charged.start and entry.when.latest < jar.charged.earliest:
        return f"dated {entry.when}, before the charge on {jar.charged}"
    fact = entry.fact
    if isinstance(fact, _OF_STOCK) and fact.about.liquor:
        liquor = jar.liquor(fact.about.liquor)
        if liquor is not None and entry.when.latest < liquor.pressed.earliest:
            return f"dated {entry.when}, before the pressing on {liquor.pressed}"
    return None


def _step(jar: Jar, entry: Entry, fact: Recorded) -> str | None:  # noqa: C901 - one arm per kind
    """Change the jar as one fact says; the reason if it does not fit."""
    match fact:
        case Shaken():
            return jar_steps.shaken(jar, entry.when)
        case ToppedUp():
            return jar_steps.topped_up(jar, entry.when, fact)
        case LookedAt():
            return jar_steps.looked_at(jar, entry.when, fact)
        case Moved():
            return jar_steps.moved(jar, fact)
        case Pressed():
            return jar_steps.pressed(jar, entry, fact)
        case Filtered():
            return liquor_steps.filtered(jar, fact)
        case Bottled():
            return liquor_steps.bottled(jar, entry.when, fact)
        case Dispensed():
            return liquor_steps.dispensed(jar, fact)
        case Counted():
            return liquor_steps.counted(jar, entry.when, fact)
        case Discarded():
            if fact.about.liquor is None:
                return jar_steps.discarded(jar, entry)
            return liquor_steps.discarded(jar, entry.id, fact)
        case Restored():
            if fact.about.liquor is None:
                return jar_steps.restored(jar, fact)
            return liquor_steps.restored(jar, fact)
        case Later():
            return jar_steps.put_off(jar, fact)
        case Noted() | Labelled() | Away():
            return None
        case Charged():
            return "charged again under the same identity"
        case Corrected() | Struck() | SameAs():
            return None  # settled before the replay
        case Unknown():
            kind = fact.kind.replace("_", " ")
            return f"{kind}: a kind or version this program does not know; a newer one may"
        case _:
            assert_never(fact)
