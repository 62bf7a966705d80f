"""The shelf of today: what a clock set wrongly dated ahead is named, and does not count."""

from collections.abc import Sequence
from datetime import date, timedelta
from typing import TYPE_CHECKING

import msgspec

from tracker.bench.bench import Bench
from tracker.core.rules.reminders import Due
from tracker.core.shelf.thing import Batch

if TYPE_CHECKING:
    from tracker.core.facts.entry import Entry

_DAY = timedelta(days=1)


class DayShelf(msgspec.Struct, frozen=True):
    """What is on the shelf today, and a line for each code with an event dated ahead."""

    batches: Sequence[Batch]
    ahead: Sequence[Due] = ()


def day_shelf(bench: Bench, today: date) -> DayShelf:
    """What is live on the shelf by all that can have happened by today."""
    bench.must_exist()
    last = bench.last_day()
    # The last day of the calendar has no day after it.
    if last is None or last - today <= _DAY:
        return DayShelf(bench.batches(live_only=True))
    return shelf_of_late_lines(bench, today) or shelf_of_all_lines(bench, today)


def shelf_of_late_lines(bench: Bench, today: date) -> DayShelf | None:
    """The same from the lines of those alone of which the last is dated ahead.

    None where these do not tell: most of the book may be ahead, or a code is not theirs alone.
    """
    from tracker.core.replay.replay import replay
    from tracker.core.rules.dated_ahead import BOOK

    entries, ids = bench.joined_lines(bench.told_from(today + _DAY))
    ahead = _ahead(bench, entries, today)
    if any(line.code == BOOK for line in ahead) or bench.sharing_code(ids):
        return None
    stored = bench.batches(live_only=True)
    if not ahead:  # it was corrected, or struck
        return DayShelf(stored)
    own = replay(entries, through=today + _DAY).batches
    found = [one for one in stored if one.id not in ids]
    found += [one for one in own if one.id in ids and one.is_live]
    return DayShelf(sorted(found, key=lambda one: (one.begun.start, one.code)), ahead)


def shelf_of_all_lines(bench: Bench, today: date) -> DayShelf:
    """The same from every line of the book."""
    ahead = _ahead(bench, bench.entries(), today)
    if not ahead:
        return DayShelf(bench.batches(live_only=True))
    return DayShelf(bench.batches(live_only=True, on=today + _DAY), ahead)


def _ahead(bench: Bench, entries: "Sequence[Entry]", today: date) -> list[Due]:
    from tracker.core.facts.entry_numbers import entry_name
    from tracker.core.rules.dated_ahead import dated_ahead

    writers = bench.writers()
    return dated_ahead(entries, today, lambda entry: entry_name(entry, writers))
