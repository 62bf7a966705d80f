"""Which last good days of its parts a liquid has: those of a weak part not, once it is strong.

What keeps days by itself, such as herb simmered in water, is put into spirit to keep. Only how
long it was pressed to keep is passed over, and only in time: what it is made of keeps its day.
"""

from collections.abc import Iterable
from datetime import date

from tracker.core.menstruum.preservation import WARN_BELOW_PCT_VOL
from tracker.core.shelf.contents import Contents
from tracker.core.shelf.thing import Thing
from tracker.core.values.times import When


def is_past(good_through: date, when: When) -> bool:
    """Whether the last good day was over by then; of an inexact day the last one counts."""
    return good_through < when.latest


def is_weak(made: Contents) -> bool:
    """Whether it is below what is usually warned of; nothing is said of an unknown strength."""
    return any(
        one.until is None and one.pct_vol is not None and one.pct_vol < WARN_BELOW_PCT_VOL
        for one in made.spells
    )


def days_in(parts: Iterable[Thing], made: Contents, when: When) -> list[date | None]:
    """The last good days that count for what was made of these; None of a part nobody knows."""
    given = list(parts)
    if is_weak(made):
        return [one.good_through for one in given]
    return [day for one in given for day in days_in_strong(one, when)]


def days_in_strong(part: Thing, when: When) -> list[date | None]:
    """The same of one part of something strong: none where it ends for being weak."""
    day = part.good_through
    if day is None or is_past(day, when) or not _keeps_days(part):
        return [day]
    assert part.extract is not None
    return [] if part.extract.best_by is None else [part.extract.best_by]


def _keeps_days(part: Thing) -> bool:
    extract, bottle = part.extract, part.bottle
    if extract is None or not extract.keeps_days or not is_weak(part.made):
        return False
    return bottle is None or (bottle.best_by is None and not bottle.is_undated)
