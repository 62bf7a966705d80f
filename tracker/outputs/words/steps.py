"""What a jar wants next, in the few words a row has room for."""

from datetime import date
from typing import assert_never

from tracker.core.rules.reminders import What
from tracker.outputs.view.day import Step
from tracker.outputs.words.due_lines import briefly, for_days


def style_of(what: What) -> str:
    """What a kind of line means, for a screen with colours."""
    match what:
        case "safety" | "past-longest" | "expired":
            return "bad"
        case "away" | "shake" | "look" | "expiring":
            return "warn"
        case "ready":
            return "good"
        case "count":
            return ""
        case _:
            assert_never(what)


def step_text(step: Step, today: date) -> str:
    """`ready today`, `shake in 3 d`, `on hold`."""
    if step.line is not None:
        return briefly(step.line, today)
    if step.what == "ready":
        return f"ready {for_days(today, step.on)}"
    if step.what == "not known":
        return "press: day not known"
    return f"{step.what} {_in_days(step.on, today)}"


def step_style(step: Step) -> str:
    """What it means, for a screen with colours."""
    if step.line is not None:
        return style_of(step.line.what)
    return "good" if step.what == "ready" else ""


def _in_days(day: date, today: date) -> str:
    away = (day - today).days
    return "tomorrow" if away == 1 else f"in {away} d"
