"""Days and inexact dates in the few cells a row has: `9 Sep`, `Jun 2022`, `summer 22`, `2022`."""

from datetime import date

from tracker.core.values.day_words import season_name, short_day, short_when
from tracker.core.values.times import Hemisphere, When


def day_in_row(day: date, today: date) -> str:
    """`9 Sep`; of another year `9 Sep 25`."""
    year = "" if day.year == today.year else f" {day.year % 100:02d}"
    return f"{short_day(day, day.year)}{year}"


def when_in_row(when: When, today: date, hemisphere: Hemisphere) -> str:
    """A date as exactly as it is known; a month with its whole year: `Jun 22` is a day."""
    day = when.start.date()
    match when.precision:
        case "season":
            return f"{season_name(day, hemisphere)} {day.year % 100:02d}"
        case "unknown":
            return "not known"
        case "time" | "day":
            return day_in_row(day, today)
        case _:
            return short_when(when)
