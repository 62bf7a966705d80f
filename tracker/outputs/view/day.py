"""What is due on a day, in groups, and what is next for each jar, as fields: words come later."""

from collections.abc import Iterable, Sequence
from datetime import date, datetime, timedelta
from typing import Literal, assert_never

import msgspec

from tracker.core.practice.practice import Practice
from tracker.core.reckoning import amounts
from tracker.core.rules.reminders import ORDER, Due, What, due, next_shake
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Batch
from tracker.core.values.times import LONG_AGO

WEEK = 7

Group = Literal[
    "look first", "past its longest", "past its date", "while you are away", "shake", "look",
    "ready when you want it", "use soon", "no date known", "count",
]  # fmt: skip


def group_of(what: What) -> Group:
    """The group that a line of a kind stands in; mypy fails here where a new one has no arm."""
    match what:
        case "safety" | "weak":
            return "look first"
        case "past-longest":
            return "past its longest"
        case "expired":
            return "past its date"
        case "away":
            return "while you are away"
        case "shake" | "look" | "count":
            return what
        case "ready":
            return "ready when you want it"
        case "expiring":
            return "use soon"
        case "undated":
            return "no date known"
        case _:
            assert_never(what)


class DayView(msgspec.Struct, frozen=True):
    """A day of the shelf.

    Attributes:
        lines: what is due, the most pressing first, one line a code.
        questions: what does not fit and needs an answer, by the code of the jar or blend.
    """

    today: date
    lines: tuple[Due, ...]
    questions: tuple[tuple[str, Flag], ...]


class Step(msgspec.Struct, frozen=True):
    """What is next for a jar: a line that is due, else the next day to look, press or shake.

    Of a jar whose days are not known `on` is today.
    """

    what: Literal["due", "shake", "look", "press", "not known"]
    on: date
    line: Due | None = None


def day_of(
    batches: Sequence[Batch],
    practice: Practice,
    today: date,
    not_held: Sequence[Flag] = (),
    ahead: Sequence[Due] = (),
) -> DayView:
    """What is due on a day, and what needs an answer.

    Args:
        batches: the shelf.
        practice: the rules in force.
        today: the maker's day.
        not_held: what holds some of a lot called back and is on no hold.
        ahead: the lines of what is dated ahead of today.
    """
    lines = due(batches, practice, today, not_held=not_held)
    if ahead:  # almost never, and a short answer loads what it needs
        from tracker.core.rules.dated_ahead import with_dated_ahead

        lines = with_dated_ahead(lines, ahead)
    return DayView(today, tuple(lines), tuple(questions_of(batches, not_held)))


def next_due(batches: Sequence[Batch], practice: Practice, today: date) -> tuple[date, Due] | None:
    """The first day of the week to come on which something is due, and the line; None without."""
    for day in (today + timedelta(days=one) for one in range(1, WEEK + 1)):
        if lines := due(batches, practice, day):
            return day, lines[0]
    return None


def questions_of(batches: Sequence[Batch], not_held: Sequence[Flag] = ()) -> list[tuple[str, Flag]]:
    """What does not fit and needs an answer, by the code of the jar or blend."""
    codes = {one.id: one.code for one in batches}
    asking = [(codes[flag.event], flag) for flag in not_held if flag.event in codes]
    return asking + [(one.code, flag) for one in batches for flag in one.flags if flag.asks]


def next_step(jar: Jar, practice: Practice, today: date, not_held: Sequence[Flag] = ()) -> Step:
    """What is next for a jar with its herb in; what an earlier steep gave stands in the stock."""
    every = due([jar], practice, today, not_held=not_held)
    lines = [one for one in every if one.code == jar.code]
    if lines:
        return Step("due", lines[0].since, lines[0])
    return coming_step(jar, today) or Step("not known", today)


def coming_step(jar: Jar, today: date) -> Step | None:
    """The first day after today to look, press or shake, put off as far as it was."""
    again = None if jar.look is None else jar.look.again_on
    days: list[tuple[Literal["look", "press", "shake"], date | None]] = [
        ("look", _put_off(jar, "look", again)),
        ("press", _put_off(jar, "ready", amounts.earliest_press(jar))),
        ("shake", _put_off(jar, "shake", next_shake(jar, today))),
    ]
    coming = [Step(what, day) for what, day in days if day is not None]
    return min(coming, key=lambda one: one.on, default=None)


def _put_off(jar: Jar, what: str, day: date | None) -> date | None:
    return None if day is None else max(day, jar.put_off.get(what, day))


def with_steps(
    jars: Iterable[Jar], practice: Practice, today: date, not_held: Sequence[Flag] = ()
) -> list[tuple[Jar, Step | None]]:
    """Jars with what is next for each, the most pressing first; those that are done come last."""
    steps = [
        (one, next_step(one, practice, today, not_held) if one.is_macerating else None)
        for one in jars
    ]
    return sorted(steps, key=lambda pair: (_urgency(pair[1], today), *_age(pair[0])))


def _age(jar: Jar) -> tuple[datetime, str]:
    return jar.charged.start, jar.code


def _urgency(step: Step | None, today: date) -> date:
    if step is None:
        return date.max
    if step.line is not None:
        return LONG_AGO + timedelta(days=ORDER.index(step.line.what))
    if step.what == "not known":  # after all that have a day
        return date.max - timedelta(days=1)
    return step.on
