"""Days given beside a verb: one to come, and a guess at when a found jar was charged."""

from datetime import date

from tracker.cli.desk import Desk
from tracker.core.facts.fields import GuessPrecision
from tracker.core.values.errors import MisusedError
from tracker.core.values.times import parse_period, parse_when


def day_to_come(desk: Desk, text: str, after: date, where: str) -> date:
    """The day a person means by `3d`, counted from a day, or by a date.

    Raises:
        MisusedError: it is neither.
    """
    try:
        return parse_period(text).after(after)
    except MisusedError:
        bench = desk.bench
        found = parse_when(text, bench.now(), bench.practice.hemisphere, where=where)
    if not found.is_exact:
        raise MisusedError(
            f"{text!r} is not one day.", where=where, do="write 3d, or a day such as 2025-03-09."
        )
    return found.earliest


def guessed_charge(desk: Desk, text: str, where: str) -> tuple[date | None, GuessPrecision]:
    """The first day a found jar can have been charged, and how long the range is from there.

    None where it is said to be unknown.
    """
    bench = desk.bench
    found = parse_when(text, bench.now(), bench.practice.hemisphere, where=where)
    match found.precision:
        case "unknown":
            return None, "day"
        case "time" | "day":
            return found.earliest, "day"
        case "month" | "season" | "year":
            return found.earliest, found.precision
