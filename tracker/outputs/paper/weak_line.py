"""That a liquid is too weak to keep, as a line of a label, a lid or a handout."""

from datetime import date

from tracker.core.values.day_words import short_day
from tracker.outputs.view.liquid import WeakView


def weak_text(weak: WeakView, today: date) -> str:
    """`WEAK: keep it cold, good through 3 Mar 2025.`; a label stays, so the day is in full."""
    if weak.through is None:
        return "WEAK: keep it cold; how long it keeps is not known."
    if today > weak.through:
        return f"WEAK: it was good through {short_day(weak.through)} only."
    return f"WEAK: keep it cold, good through {short_day(weak.through)}."
