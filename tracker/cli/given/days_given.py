"""Days given beside a verb: one to come, and a guess at when a found jar was charged."""

from datetime import date

from tracker.cli.desk import Desk
from tracker.cli.given.day_asked import day_said
from tracker.core.facts.fields import GuessPrecision
from tracker.core.values.errors import MisusedError
from tracker.core.values.times import Toward, When, is_as_people_say, parse_period


def day_to_come(desk: Desk, text: str, after: date, where: str) -> date:
    """The day a person means by `3d`, counted from a day, or by a date.

    Raises:
        MisusedError: it is neither.
    """
    try:
        return parse_period(text).after(after)
    except MisusedError:
        found = _said(desk, text, where, "future")
    if not found.is_exact:
        raise MisusedError(
            f"{text!r} is not one day.", where=where, do="write 3d, friday or 9 Mar 2025."
        )
    return found.earliest


def guessed_charge(desk: Desk, text: str, where: str) -> tuple[date | None, GuessPrecision]:
    """The first day a found jar can have been charged, and how long the range is from there.

    None where it is said to be unknown.
    """
    found = _said(desk, text, where, "past")
    match found.precision:
        case "unknown" if is_as_people_say(text):
            raise MisusedError(
                f"{text!r} is no guess that can be kept.",
                where=where,
                do="write the month, the season or the year, or unknown.",
            )
        case "unknown":
            return None, "day"
        case "time" | "day":
            return found.earliest, "day"
        case "month" | "season" | "year":
            return found.earliest, found.precision


def _said(desk: Desk, text: str, where: str, toward: Toward) -> When:
    return day_said(desk, text, lambda one: desk.bench.when(one, where=where, toward=toward))
