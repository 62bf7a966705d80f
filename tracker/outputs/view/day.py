"""What is due on a day, and what each jar wants next, as fields: the words come later."""

from collections.abc import Iterable, Sequence
from datetime import date, datetime, timedelta
from typing import Literal

import msgspec

from tracker.core.practice.practice import Practice
from tracker.core.reckoning import amounts
from tracker.core.rules.reminders import ORDER, Due, due, next_shake
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Batch
from tracker.core.values.times import LONG_AGO


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
    """What a jar wants next: a line that is due, else the next day to look, press or shake.

    Of a jar whose days are not known `on` is today.
    """

    what: Literal["due", "ready", "shake", "look", "press", "not known"]
    on: date
    line: Due | None = None


def day_of(
    batches: Sequence[Batch],
    practice: Practice,
    today: date,
    not_held: Sequence[Flag] = (),
    ahead: Sequence[Due] = (),
) -> DayView:
    """What is due on a day, and what wants an answer.

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


def questions_of(batches: Sequence[Batch], not_held: Sequence[Flag] = ()) -> list[tuple[str, Flag]]:
    """What does not fit and needs an answer, by the code of the jar or blend."""
    codes = {one.id: one.code for one in batches}
    asking = [(codes[flag.event], flag) for flag in not_held if flag.event in codes]
    return asking + [(one.code, flag) for one in batches for flag in one.flags if flag.asks]


def next_step(jar: Jar, practice: Practice, today: date) -> Step:
    """What a jar with its herb in wants next."""
    lines = due([jar], practice, today)
    if lines:
        return Step("due", lines[0].since, lines[0])
    ready, shake = amounts.earliest_press(jar), next_shake(jar, today)
    again = None if jar.look is None else jar.look.again_on
    if again is not None:
        again = max(again, jar.put_off.get("look", again))
    coming = [
        *([Step("look", again)] if again is not None else []),
        *([Step("ready" if ready <= today else "press", ready)] if ready is not None else []),
        *([Step("shake", shake)] if shake is not None else []),
    ]
    if any(one.what == "ready" for one in coming):
        return next(one for one in coming if one.what == "ready")
    return min(coming, key=lambda one: one.on, default=Step("not known", today))


def with_steps(
    jars: Iterable[Jar], practice: Practice, today: date
) -> list[tuple[Jar, Step | None]]:
    """Jars with what each wants next, the most pressing first; those that are done come last."""
    steps = [(one, next_step(one, practice, today) if one.is_macerating else None) for one in jars]
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
    return today if step.what == "ready" else step.on
