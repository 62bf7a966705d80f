"""When something happened, in words: the month in letters, the year where it is not plain."""

from datetime import date

from tracker.core.values.month_names import month_name
from tracker.core.values.times import When


def short_day(day: date, year: int | None = None) -> str:
    """`3 Mar`, with its year where that is another one."""
    text = f"{day.day} {month_name(day)}"
    return text if day.year == year else f"{text} {day.year:04d}"


def short_when(when: When, year: int | None = None) -> str:
    """`3 Mar`, `Jun to Aug 2023`, `2023`, `by 3 Mar`."""
    first, last = when.earliest, when.latest
    match when.precision:
        case "time" | "day":
            return short_day(first, year)
        case "month":
            return f"{month_name(first)} {first.year:04d}"
        case "season":
            start = month_name(first) + (f" {first.year:04d}" if first.year != last.year else "")
            return f"{start} to {month_name(last)} {last.year:04d}"
        case "year":
            return f"{first.year:04d}"
        case _:
            return f"by {short_day(when.start.date(), year)}"


def short_span(first: When, last: When, year: int | None = None) -> str:
    """`10 Oct to 21 Nov`; one day where they are the same."""
    ends = [short_when(one, year) for one in (first, last)]
    return ends[0] if ends[0] == ends[1] else f"{ends[0]} to {ends[1]}"


def when_in_full(when: When) -> str:
    """The same where nothing around it says what the day is of: on paper."""
    said = short_when(when)
    return f"on a day not known, {said}" if when.precision == "unknown" else said
