"""Days and inexact dates in the few cells a row has: `9 Sep`, `Jun 22`, `summer 22`, `2022`."""

from datetime import date

from tracker.core.values.month_names import month_name
from tracker.core.values.times import Hemisphere, When

_SEASONS = ("spring", "summer", "autumn", "winter")  # by quarters from March on, in the north


def day_in_row(day: date, today: date) -> str:
    """`9 Sep`; of another year `9 Sep 25`."""
    year = "" if day.year == today.year else f" {day.year % 100:02d}"
    return f"{day.day} {month_name(day)}{year}"


def when_in_row(when: When, today: date, hemisphere: Hemisphere) -> str:
    """A date as exactly as it is known."""
    day = when.start.date()
    match when.precision:
        case "month":
            return f"{month_name(day)} {day.year % 100:02d}"
        case "season":
            quarter = (day.month - 3) // 3 + (2 if hemisphere == "south" else 0)
            return f"{_SEASONS[quarter % 4]} {day.year % 100:02d}"
        case "year":
            return str(day.year)
        case "unknown":
            return "not known"
        case _:
            return day_in_row(day, today)
