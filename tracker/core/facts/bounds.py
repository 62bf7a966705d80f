"""What no event can say, by any writer: the ends of time, spans without end, odd names.

What is within these bounds can be reckoned with. They are wider than what may be recorded, and
hold for lines of the book and for what a correction makes of one.
"""

import re
from datetime import date, datetime
from functools import cache, lru_cache
from typing import NamedTuple

from msgspec.structs import fields

from tracker.core.facts.extracts import Bottled
from tracker.core.facts.fields import IsoPeriod
from tracker.core.facts.jars import Steeping
from tracker.core.facts.kinds import Recorded
from tracker.core.values.times import FIRST_YEAR_READ, LAST_YEAR_READ, When, is_period

_WRITER = re.compile(r"[a-z0-9][a-z0-9-]{0,63}")
_DAYS_AT_MOST = 1_000_000
_BOTTLES_AT_MOST = 100_000


@lru_cache(256)
def is_writer(name: str) -> bool:
    """Whether a writer can be called so: lower-case letters, digits and hyphens."""
    return _WRITER.fullmatch(name) is not None


class _Bound(NamedTuple):
    """The fields of a kind that hold a day or a span of time."""

    days: tuple[str, ...]
    spans: tuple[str, ...]


@cache
def _bound(kind: "type[Recorded]") -> _Bound | None:
    every = fields(kind)
    days = tuple(one.name for one in every if one.type in (date, date | None))
    spans = tuple(one.name for one in every if one.type in (IsoPeriod, IsoPeriod | None))
    own = _Bound(days, spans)
    return own if days or spans or issubclass(kind, Bottled) else None


def beyond_bounds(when: When, recorded: datetime, fact: Recorded) -> str | None:
    """What an event says that cannot be reckoned with, in words; None where there is nothing.

    Args:
        when: when it happened.
        recorded: when it was written down.
        fact: what happened.
    """
    start = when.start
    if not FIRST_YEAR_READ <= start.year <= LAST_YEAR_READ:
        return f"nothing can be dated in the year {start.year}"
    if not FIRST_YEAR_READ <= recorded.year <= LAST_YEAR_READ:
        return f"nothing can be recorded in the year {recorded.year}"
    if start.tzinfo is None:
        return "a time without its offset from UTC"
    bound = _bound(type(fact))
    return None if bound is None else _beyond(bound, fact)


def _beyond(bound: _Bound, fact: Recorded) -> str | None:
    for name in bound.days:
        day: date | None = getattr(fact, name)
        if day is not None and not FIRST_YEAR_READ <= day.year <= LAST_YEAR_READ:
            return f"{_word(fact, name)}: nothing can be dated in the year {day.year}"
    for name in bound.spans:
        span: str | None = getattr(fact, name)
        if span is not None and not _is_period(span):
            return f"{_word(fact, name)}: not a span of time, or longer than a hundred years"
    if isinstance(fact, Steeping) and fact.shake:
        for phase in fact.shake:
            if max(phase.every_days, phase.through_day or 0) > _DAYS_AT_MOST:
                return f"the shake plan has more than {_DAYS_AT_MOST} days"
    if isinstance(fact, Bottled) and sum(run.count for run in fact.bottles) > _BOTTLES_AT_MOST:
        return f"more than {_BOTTLES_AT_MOST} bottles"
    return None


def _word(fact: Recorded, name: str) -> str:
    from tracker.core.facts.field_words import word_held_in

    return word_held_in(type(fact), name)


_is_period = lru_cache(1024)(is_period)
