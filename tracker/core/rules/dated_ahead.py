"""Events dated ahead of today by a clock set wrongly: said, and left out of what is due."""

from collections.abc import Callable, Iterable, Sequence
from datetime import date, timedelta
from typing import TYPE_CHECKING

import msgspec

from tracker.core.rules.reasons import ClockBehind, DatedAhead
from tracker.core.rules.reminders import ORDER, Due

if TYPE_CHECKING:
    from tracker.core.facts.entry import Entry

# Another machine's zone and clock may be that far ahead.
SLACK = timedelta(days=1)
# So many events, and most of the book: then it is the clock that is wrong.
MANY = 20
BOOK = "book"


def is_ahead(day: date, today: date) -> bool:
    """Whether a day cannot have come yet anywhere."""
    return day - today > SLACK


def dated_ahead(
    entries: "Iterable[Entry]", today: date, name_of: "Callable[[Entry], str]"
) -> list[Due]:
    """A line for each code of which an event in force is dated ahead; one where most of them are.

    Args:
        entries: every line of the book.
        today: the maker's day.
        name_of: what an entry is called.
    """
    from tracker.core.replay.families import each_once
    from tracker.core.replay.in_force import settle

    in_force = settle(each_once(list(entries))[0]).entries
    ahead = [entry for entry in in_force if is_ahead(entry.when.earliest, today)]
    if len(ahead) > MANY and len(ahead) * 2 > len(in_force):
        last = max(entry.when.earliest for entry in ahead)
        return [Due(BOOK, "safety", today, (ClockBehind(last),))]
    reasons: dict[str, list[DatedAhead]] = {}
    since: dict[str, date] = {}
    for entry in ahead:
        for code in entry.subject.split():
            reasons.setdefault(code, []).append(DatedAhead(entry.kind, entry.when, name_of(entry)))
            written = min(entry.recorded.date(), today)
            since[code] = min(since.get(code, written), written)
    return [Due(code, "safety", since[code], tuple(why)) for code, why in reasons.items()]


def with_dated_ahead(lines: Iterable[Due], ahead: Sequence[Due]) -> list[Due]:
    """One line a code, where an event dated ahead adds its reason and hides no other."""
    found = {line.code: line for line in lines}
    for line in ahead:
        own = found.get(line.code)
        reasons = (*line.reasons, *own.reasons) if own else line.reasons
        found[line.code] = msgspec.structs.replace(line, reasons=reasons)
    return sorted(found.values(), key=lambda one: (ORDER.index(one.what), one.since, one.code))
