"""The months by name, in English whatever language the machine is set to."""

from datetime import date

# Not by strftime or calendar, whose names follow the machine's language.
_NAMES = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def month_name(day: date) -> str:
    """The month of a day, in three letters: `Mar`."""
    return _NAMES[day.month - 1]
