"""Till when a liquid is good: what its parts allow, and days where it is weak.

The one place that says so: every output, reminder and rule asks here.
"""

from collections.abc import Iterable
from datetime import date

from tracker.core.practice.practice import Practice
from tracker.core.shelf.contents import DROP_ML, Contents
from tracker.core.shelf.extract import Bottle, Extract
from tracker.core.shelf.late import Late
from tracker.core.shelf.spell import Spell
from tracker.core.shelf.thing import Batch, Thing, bottle_of, extract_of
from tracker.core.values.times import LONG_AGO, Period


def good_through(thing: Thing, practice: Practice) -> date | None:
    """The last good day of an extract, blend or bottle; None of a jar, or where nobody knows."""
    if thing.extract is None:
        return None
    return _earliest(thing.good_through, thing.made.spells, practice)


def weak_spell(made: Contents, practice: Practice) -> Spell | None:
    """Since when a liquid has been weak, if it is: below the strength the maker warns of."""
    weak = [one for one in made.spells if one.until is None and _is_weak(one, practice)]
    return min(weak, key=lambda one: one.since, default=None)


def weak_through(thing: Thing, practice: Practice) -> date | None:
    """The last good day of something weak, kept cold; None where nobody knows.

    A jar with its herb in has no other; of what was pressed its own may come before.
    """
    if thing.extract is not None:
        return good_through(thing, practice)
    days = list(_ends(_weak(thing.made.spells, practice), practice.weak_keeps))
    return None if not days or LONG_AGO in days else min(days)


def first_to_end(
    batch: Batch, extract: Extract, practice: Practice
) -> tuple[date | None, Bottle | None]:
    """The first day that ends some of what is left, and the bottle whose own day that is.

    A bottle that was refilled, or filled before its extract changed, has a day of its own.
    """
    own = good_through(extract_of(batch, extract), practice)
    inside = [one for one in extract.bottles if one.volume_ml >= DROP_ML]
    days = [(good_through(bottle_of(batch, extract, one), practice), one) for one in inside]
    apart = [(day, one) for day, one in days if day is not None and day != own]
    is_own = extract.volume_ml >= DROP_ML or any(day == own for day, _ in days) or not inside
    pairs: list[tuple[date, Bottle | None]] = [(own, None)] if own is not None and is_own else []
    return min([*pairs, *apart], key=lambda pair: pair[0], default=(None, None))


def days_late(late: Late, practice: Practice) -> int:
    """By how many days something was past its last good day when it was used; 0 if it was not."""
    last = _earliest(late.last, late.spells, practice)
    return 0 if last is None else max((late.on - last).days, 0)


def days_late_of(batches: Iterable[Batch], practice: Practice) -> dict[str, int]:
    """By how many days what each event used was past its date, by the event's id."""
    found: dict[str, int] = {}
    for batch in batches:
        for extract in batch.extracts:
            for event, uses in extract.late.items():
                days = max(days_late(one, practice) for one in uses)
                if days:
                    found[event] = max(days, found.get(event, 0))
    return found


def _earliest(own: date | None, spells: tuple[Spell, ...], practice: Practice) -> date | None:
    """The earliest day; not known where that may be a day nobody knows."""
    if not spells:
        return own
    weak = list(_ends(_weak(spells, practice), practice.weak_keeps))
    unsure = (one for one in spells if one.pct_vol is None)
    other = list(_ends(unsure, practice.rules["other"].keeps))
    if own is None or LONG_AGO in (*weak, *other):
        return None
    return min([own, *weak, *other])


def _weak(spells: Iterable[Spell], practice: Practice) -> Iterable[Spell]:
    return (one for one in spells if _is_weak(one, practice))


def _is_weak(one: Spell, practice: Practice) -> bool:
    return one.pct_vol is not None and one.pct_vol < practice.warn_below_pct_vol


def _ends(spells: Iterable[Spell], keeps: Period) -> Iterable[date]:
    """The last good day by each spell that has not ended, or that ended after it."""
    for one in spells:
        if one.since == LONG_AGO:
            yield LONG_AGO  # nor does anybody know whether it was made stronger in time
            continue
        last = keeps.after(one.since)
        if one.until is None or one.until > last:
            yield last
