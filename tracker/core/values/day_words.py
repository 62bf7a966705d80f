"""Days as every sentence writes them: `13 Jun`, with the year where it is not the running one."""

from datetime import date
from typing import NamedTuple

from tracker.core.values.month_names import month_name
from tracker.core.values.times import Hemisphere, When

_SEASONS = ("spring", "summer", "autumn", "winter")  # by quarters from March on, in the north


def short_day(day: date, year: int | None = None) -> str:
    """`3 Mar`, with its year where that is another one than the running one, or none is given."""
    text = f"{day.day} {month_name(day)}"
    return text if day.year == year else f"{text} {day.year:04d}"


def short_when(when: When, year: int | None = None, hemisphere: Hemisphere | None = None) -> str:
    """`3 Mar`, `Jun 2023`, `summer 2023`, `2023`, `by 3 Mar`.

    A season is said by its months where nobody says which half of the earth it is of.
    """
    first, last = when.start.date(), when.latest
    match when.precision:
        case "time" | "day":
            return short_day(first, year)
        case "month":
            return f"{month_name(first)} {first.year:04d}"
        case "season" if hemisphere is not None:
            return f"{season_name(first, hemisphere)} {first.year:04d}"
        case "season":
            start = month_name(first) + (f" {first.year:04d}" if first.year != last.year else "")
            return f"{start} to {month_name(last)} {last.year:04d}"
        case "year":
            return f"{first.year:04d}"
        case _:
            return f"by {short_day(first, year)}"


def season_name(first: date, hemisphere: Hemisphere) -> str:
    """What three months are called by the day they begin."""
    quarter = (first.month - 3) // 3 + (2 if hemisphere == "south" else 0)
    return _SEASONS[quarter % 4]


class Present(NamedTuple):
    """What a day is said from: the running year, and the half of the earth its seasons are of."""

    year: int | None = None
    hemisphere: Hemisphere | None = None

    def said(self, day: date | When) -> str:
        """A day, or what is known of one, in words."""
        if isinstance(day, When):
            return short_when(day, self.year, self.hemisphere)
        return short_day(day, self.year)


# Where nobody knows when it will be read: a refusal of the core, paper, a page.
UNDATED = Present()
