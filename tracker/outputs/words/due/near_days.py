"""Days near today, as they are said aloud: by the weekday, or by day and month."""

from datetime import date

from tracker.core.values.day_words import short_day
from tracker.core.values.month_names import month_in_full
from tracker.core.values.times import When

# Not by strftime or calendar, whose names follow the machine's language.
_WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_WEEK = 7


def weekday_name(day: date) -> str:
    """`Monday`."""
    return _WEEKDAYS[day.weekday()]


def day_in_full(day: date) -> str:
    """`Friday 27 November 2026`."""
    return f"{weekday_name(day)} {day.day} {month_in_full(day)} {day.year}"


def day_near(when: When, today: date) -> str:
    """`Wed` of the week before today, else `6 Jul`; a day that is not known as far as it is."""
    if not when.is_exact:
        return f"{when}"
    passed = (today - when.earliest).days
    if 0 <= passed < _WEEK:
        return "today" if passed == 0 else weekday_name(when.earliest)[:3]
    return short_day(when.earliest, today.year)


def next_day(day: date, today: date) -> str:
    """When a coming day is: `tomorrow`, `on Monday`, `on 6 Jul`."""
    away = (day - today).days
    if away == 1:
        return "tomorrow"
    return f"on {weekday_name(day) if away < _WEEK else short_day(day, today.year)}"
