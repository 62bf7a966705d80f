"""The days of a page: one for all of it, and lines that are a day alone, for those below them."""

from collections.abc import Sequence
from typing import NamedTuple

from tracker.cli.desk import Desk
from tracker.cli.given.day_asked import day_said
from tracker.cli.lines import Line
from tracker.cli.screen import say
from tracker.core.values.errors import AmbiguousDateError, MisusedError
from tracker.core.values.text import shown
from tracker.core.values.times import When


class Day(NamedTuple):
    """A day of a page, and how it is given to a verb: in one way only, whatever was written."""

    when: When
    given: str
    is_heading: bool = False


# Each line with the day it stands under.
Lines = Sequence[tuple[Line, Day | None]]


def day_of_page(desk: Desk) -> Day | None:
    """The day that was given beside `enter`, said where it was said in words."""
    if not desk.when:
        return None
    when = day_said(desk, desk.when, desk.bench.when)
    for remark in desk.remarks:
        say(shown(remark), err=True)
    desk.remarks.clear()
    return Day(when, _given(when, desk.when))


def under_days(desk: Desk, lines: Sequence[Line], day: Day | None) -> Lines:
    """Every line that is no day alone, with the day it stands under.

    Raises:
        MisusedError: numbers alone that may be two days; it names the line.
    """
    found: list[tuple[Line, Day | None]] = []
    for line in lines:
        with line.named():
            heading = _day_alone(desk, line.text)
        if heading is None:
            found.append((line, day))
        else:
            day = heading
    return found


def _day_alone(desk: Desk, text: str) -> Day | None:
    """The day of `Monday 4 May` or `2026-05-04:`; None of any other line."""
    try:
        when = desk.bench.when(text.rstrip(" :"), where="the line")
    except AmbiguousDateError:
        raise
    except MisusedError:
        return None
    if when.precision not in ("day", "month", "year"):
        return None
    return Day(when, _given(when, text), is_heading=True)


def _given(when: When, text: str) -> str:
    match when.precision:
        case "day" | "month" | "year":
            return when.iso
        case "time":
            return when.start.isoformat()
        case _:
            return text
