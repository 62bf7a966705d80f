"""Days as printed on paper: the month in letters and the year in full."""

from datetime import date

from tracker.core.values.month_names import month_name
from tracker.outputs.answer_fields import Answer


def day_text(day: date) -> str:
    """`3 Mar 2025`, the same in every locale."""
    return f"{day.day} {month_name(day)} {day.year:04d}"


def when_text(answer: object) -> str:
    """A day of an answer in words: exact, a range, or not known.

    Args:
        answer: an ISO day, `{"from": …, "to": …}`, or None.
    """
    if isinstance(answer, str):
        return day_text(date.fromisoformat(answer))
    if not isinstance(answer, dict):
        return "on a day not known"
    last = date.fromisoformat(str(answer["to"]))
    if answer["from"] is None:
        return f"on a day not known, by {day_text(last)}"
    return _range_text(date.fromisoformat(str(answer["from"])), last)


def _range_text(first: date, last: date) -> str:
    if (first.month, first.day, last.month, last.day) == (1, 1, 12, 31):
        return f"{first.year:04d}" if first.year == last.year else f"{first.year}–{last.year}"
    ends = [f"{month_name(day)} {day.year:04d}" for day in (first, last)]
    return ends[0] if ends[0] == ends[1] else f"{ends[0]} to {ends[1]}"


def iso_day(answer: Answer, name: str) -> date | None:
    """One of an answer's exact days, or None."""
    value = answer[name]
    return date.fromisoformat(value) if isinstance(value, str) else None
