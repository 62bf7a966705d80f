"""What will happen on the shelf while the maker is away: a warning before leaving."""

from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from tracker.core.reckoning import amounts
from tracker.core.rules.away import Stay
from tracker.core.rules.reminders import Due
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Batch
from tracker.core.values.month_names import month_name


def day_month(day: date, today: date) -> str:
    """`6 Jul`, with the year where it is another one."""
    year = f" {day.year}" if day.year != today.year else ""
    return f"{day.day} {month_name(day)}{year}"


def while_away(batches: Iterable[Batch], stay: Stay, today: date) -> list[Due]:
    """One line for each code that something will happen to during the stay."""
    return [line for batch in batches for line in _warnings(batch, stay, today)]


def _warnings(batch: Batch, stay: Stay, today: date) -> Iterator[Due]:
    if isinstance(batch, Jar) and batch.is_macerating and (why := _herb_why(batch, stay, today)):
        yield Due(batch.code, "away", stay.first, why)
    for extract in batch.extracts:
        if extract.left_ml >= DROP_ML and _last_good_day_in(stay, extract.good_through):
            day = day_month(extract.good_through, today)
            why = f"is good only through {day}, while you are away"
            yield Due(batch.extract_code(extract), "away", stay.first, why)


def _herb_why(jar: Jar, stay: Stay, today: date) -> str | None:
    ready, longest = amounts.earliest_press(jar), amounts.longest_day(jar)
    parts = []
    if stay.first <= ready <= stay.last:
        parts.append(f"becomes ready {day_month(ready, today)}")
    passes = longest is not None and _last_good_day_in(stay, longest)
    if passes and longest is not None:
        parts.append(f"passes its longest time {day_month(longest, today)}")
    if not parts:
        return None
    return f"{' and '.join(parts)} while you are away{'' if passes else ' (no hurry)'}"


def _last_good_day_in(stay: Stay, day: date) -> bool:
    """Whether the day after the last good one falls in the stay, or the return comes too late."""
    return stay.first - timedelta(days=1) <= day <= stay.last
