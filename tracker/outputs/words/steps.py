"""What a jar wants next, in the few words a row has room for."""

from datetime import date

from tracker.core.rules.reminders import What
from tracker.outputs.view.day import Step
from tracker.outputs.words.due_lines import briefly, for_days

# What each kind of line means, for a screen with colours.
STYLE_OF: dict[What, str] = {
    "safety": "bad",
    "past-longest": "bad",
    "expired": "bad",
    "ready": "good",
    "away": "warn",
    "shake": "warn",
    "look": "warn",
    "expiring": "warn",
    "count": "",
}


def step_text(step: Step, today: date) -> str:
    """`ready today`, `shake in 3 d`, `on hold`."""
    if step.line is not None:
        return briefly(step.line, today)
    if step.what == "ready":
        return f"ready {for_days(today, step.on)}"
    return f"{step.what} {_in_days(step.on, today)}"


def step_style(step: Step) -> str:
    """What it means, for a screen with colours."""
    if step.line is not None:
        return STYLE_OF[step.line.what]
    return "good" if step.what == "ready" else ""


def _in_days(day: date, today: date) -> str:
    away = (day - today).days
    return "tomorrow" if away == 1 else f"in {away} d"
