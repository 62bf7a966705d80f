"""What shows that a clock was or is set wrongly."""

from datetime import date

from tracker.core.rules.morning import Told
from tracker.core.values.day_words import short_day


def clock_doubt(told: Told, today: date) -> str | None:
    """What the delivery marks say against the clock, where they do."""
    ahead = told.ahead(today)
    if ahead is None:
        return None
    return (
        f"a reminder is noted as sent on {short_day(ahead)}, which is still to come: the clock was "
        "set wrong then. Nothing is left out for it before that day"
    )
