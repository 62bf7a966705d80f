"""When it can have happened: not in the future, and not before there was anything."""

from collections.abc import Iterator
from datetime import timedelta

from tracker.core.rules.before import Before
from tracker.core.rules.verdict import Finding
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Thing
from tracker.core.values.times import When

# Clocks of two machines differ by a little.
CLOCK_SLACK = timedelta(minutes=5)


def has_come(before: Before, code: str, when: When) -> Iterator[Finding]:
    """Refuse a time that has not come yet."""
    is_later = before.now is not None and when.start > before.now + CLOCK_SLACK
    if is_later and when.precision != "unknown":
        yield Finding(
            "date",
            code,
            f"{when} is in the future",
            "give the day it happened with --when",
        )


def not_before(thing: Thing | Lot, when: When) -> Iterator[Finding]:
    """Refuse to do something to a thing before there was one."""
    for how, opened in _opened(thing):
        if when.latest < opened.earliest:
            yield Finding(
                "date",
                thing.code,
                f"it was {how} on {opened}, and that is after {when}",
                f"give the right day with --when, or correct the day it was {how}",
            )
            return


def _opened(thing: Thing | Lot) -> Iterator[tuple[str, When]]:
    if isinstance(thing, Lot):
        yield thing.how, thing.on
        return
    # Of a found jar the charge is a guess at most, and it was there before it was found.
    is_found = isinstance(thing.batch, Jar) and thing.batch.opened == "found"
    if not is_found and thing.batch.begun.precision != "unknown":
        yield thing.batch.opened, thing.batch.begun
    if thing.extract is not None:
        yield thing.extract.opened, thing.extract.pressed
    if thing.bottle is not None:
        yield "filled", thing.bottle.filled
