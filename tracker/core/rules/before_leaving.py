"""What will happen on the shelf while the maker is away: a warning before leaving."""

from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from tracker.core.reckoning import amounts
from tracker.core.rules.away import Stay
from tracker.core.rules.reasons import WhileAway
from tracker.core.rules.reminders import Due
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Batch


def while_away(batches: Iterable[Batch], stay: Stay) -> list[Due]:
    """One line for each code that something will happen to during the stay."""
    return [line for batch in batches for line in _warnings(batch, stay)]


def _warnings(batch: Batch, stay: Stay) -> Iterator[Due]:
    if isinstance(batch, Jar) and batch.is_macerating:
        days = _days_of_herb(batch, stay)
        if days.ready or days.longest:
            yield Due(batch.code, "away", stay.first, (days,))
    for extract in batch.extracts:
        if extract.left_ml >= DROP_ML and _last_good_day_in(stay, extract.first_to_end[0]):
            last = WhileAway(good_through=extract.first_to_end[0])
            yield Due(batch.extract_code(extract), "away", stay.first, (last,))


def _days_of_herb(jar: Jar, stay: Stay) -> WhileAway:
    ready, longest = amounts.earliest_press(jar), amounts.longest_day(jar)
    passes = longest is not None and _last_good_day_in(stay, longest)
    return WhileAway(
        ready=ready if ready and stay.first <= ready <= stay.last else None,
        longest=longest if passes else None,
    )


def _last_good_day_in(stay: Stay, day: date) -> bool:
    """Whether the day after the last good one falls in the stay, or the return comes too late."""
    return stay.first - timedelta(days=1) <= day <= stay.last
