"""The beginnings of months, as the marks of a scale."""

from collections.abc import Iterator
from datetime import date

from tracker.core.values.times import add_months

# The steps a scale may take, in months: the finest that leaves room is taken.
STEPS = (1, 2, 3, 6, 12, 24, 60, 120, 240, 600, 1200)


def month_starts(first: date, last: date, step: int) -> Iterator[date]:
    """The first of each month, or of every second, third, … one, from one day to another."""
    day = first.replace(day=1)
    months = day.year * 12 + day.month - 1
    day = add_months(day, -months % step)
    while day <= last:
        if day >= first:
            yield day
        day = add_months(day, step)
