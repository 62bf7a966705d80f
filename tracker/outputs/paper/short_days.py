"""Days as printed on paper: the month in letters and the year in full."""

from datetime import date

from tracker.core.values.month_names import month_name
from tracker.core.values.times import When


def day_text(day: date) -> str:
    """`3 Mar 2025`, the same in every locale."""
    return f"{day.day} {month_name(day)} {day.year:04d}"


def when_text(when: When) -> str:
    """When something happened, in words: exact, a range, or not known."""
    match when.precision:
        case "time" | "day":
            return day_text(when.earliest)
        case "unknown":
            return f"on a day not known, by {day_text(when.latest)}"
        case "year":
            return f"{when.earliest.year:04d}"
        case _:
            ends = [f"{month_name(day)} {day.year:04d}" for day in (when.earliest, when.latest)]
            return ends[0] if ends[0] == ends[1] else f"{ends[0]} to {ends[1]}"
