"""Stretches of days, and days on paper, in the words of `core/values/day_words.py`."""

from tracker.core.values.day_words import short_when
from tracker.core.values.times import Hemisphere, When


def short_span(
    first: When, last: When, year: int | None = None, hemisphere: Hemisphere | None = None
) -> str:
    """`10 Oct to 21 Nov`; one day where they are the same."""
    ends = [short_when(one, year, hemisphere) for one in (first, last)]
    return ends[0] if ends[0] == ends[1] else f"{ends[0]} to {ends[1]}"


def when_in_full(when: When) -> str:
    """The same where nothing around it says what the day is of: on paper."""
    said = short_when(when)
    return f"on a day not known, {said}" if when.precision == "unknown" else said
