"""The months by name, in English whatever language the machine is set to."""

from datetime import date

# Not by strftime or calendar, whose names follow the machine's language.
_NAMES = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip
MONTHS = frozenset(name[:3] for name in _NAMES)


def month_name(day: date) -> str:
    """The month of a day, in three letters: `Mar`."""
    return month_in_full(day)[:3]


def month_in_full(day: date) -> str:
    """The month of a day: `March`."""
    return _NAMES[day.month - 1]
