"""What is next for a jar, in the few words a row has room for."""

from datetime import date
from typing import assert_never

from tracker.core.practice.practice import Way
from tracker.core.rules.reminders import What
from tracker.outputs.view.day import Step
from tracker.outputs.words.due.due_lines import briefly
from tracker.outputs.words.ways_of_making import press_verb


def style_of(what: What) -> str:
    """What a kind of line means, for a screen with colours."""
    match what:
        case "safety" | "weak" | "past-longest" | "expired":
            return "bad"
        case "away" | "shake" | "look" | "expiring" | "undated":
            return "warn"
        case "ready":
            return "good"
        case "count":
            return ""
        case _:
            assert_never(what)


def step_text(step: Step, today: date, way: Way | None = None) -> str:
    """`ready`, `shake in 3 d`, `on hold`; a percolate is collected, not pressed."""
    if step.line is not None:
        return briefly(step.line, today)
    verb = press_verb(way or "maceration")
    if step.what == "not known":
        return f"{verb}: day not known"
    return f"{verb if step.what == 'press' else step.what} {_in_days(step.on, today)}"


def step_style(step: Step) -> str:
    """What it means, for a screen with colours."""
    return "" if step.line is None else style_of(step.line.what)


def _in_days(day: date, today: date) -> str:
    away = (day - today).days
    return "tomorrow" if away == 1 else f"in {away} d"
