"""The shelf of today: what a clock set wrongly dated ahead is named, and does not count."""

from collections.abc import Sequence
from datetime import date, timedelta

import msgspec

from tracker.bench.bench import Bench
from tracker.core.rules.reminders import Due
from tracker.core.shelf.thing import Batch

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
    from tracker.core.facts.entry_numbers import entry_name
    from tracker.core.rules.dated_ahead import dated_ahead

    entries = bench.entries()
    writers = tuple(sorted({one.source for one in entries}))
    ahead = dated_ahead(entries, today, lambda entry: entry_name(entry, writers))
    if not ahead:  # it was corrected, or struck
        return DayShelf(bench.batches(live_only=True))
    return DayShelf(bench.batches(live_only=True, on=today + _DAY), ahead)
