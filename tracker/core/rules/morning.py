"""Which lines a digest has, and when it is time for one. What was delivered is passed in."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from typing import assert_never

import msgspec

from tracker.core.practice.practice import Practice
from tracker.core.rules.away import Stay, is_away, leaving_tomorrow
from tracker.core.rules.before_leaving import while_away
from tracker.core.rules.dated_ahead import SLACK, is_ahead, with_dated_ahead
from tracker.core.rules.reasons import (
    BareLid,
    ClockBehind,
    DatedAhead,
    GoodThrough,
    LidNotKnown,
    LookAgain,
    LookAtIt,
    NoDate,
    NotCounted,
    NotShaken,
    OnHold,
    PastLongest,
    ReadyToPress,
    Reason,
    RecalledInside,
    SpoilageSeen,
    StandsWeak,
    WhileAway,
)
from tracker.core.rules.reminders import BEFORE_READY, DAILY, URGENT, Due, every_line, one_a_code
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.thing import Batch

MARKS_LAST = timedelta(days=730)
# Days of digests and lines said that are remembered at most, whatever a clock did.
DIGESTS_KEPT = 400
LINES_KEPT = 10_000


class Told(msgspec.Struct, frozen=True):
    """The delivery marks: on which days there was a digest, and what was said on which day.

    A mark is only ever about its own day. One that was made under a clock set wrongly lies
    ahead of the day it is now: it is kept, since it may be this clock that is wrong, and it
    silences nothing.

    Attributes:
        last_digest: the day of the digest that was given last.
        said: the day on which each line was said, by `mark`.
        digests: the days of the digests before the last, in the order they were given.
    """

    last_digest: date | None = None
    said: Mapping[str, date] = {}
    digests: tuple[date, ...] = ()

    @property
    def days(self) -> tuple[date, ...]:
        """The days of all digests that are remembered, in the order they were given."""
        return self.digests if self.last_digest is None else (*self.digests, self.last_digest)

    def has(self, today: date) -> bool:
        """Whether today's digest was given; or tomorrow's, where the clock was set back."""
        return any(_is_about(day, today) for day in self.days)

    def ahead(self, today: date) -> date | None:
        """The latest day of a mark that lies ahead of today, where there is one."""
        marked = [*self.days, *self.said.values()]
        return max((day for day in marked if is_ahead(day, today)), default=None)


def _is_about(day: date, today: date) -> bool:
    # A machine carried or set back over midnight has given tomorrow's digest already.
    return timedelta() <= day - today <= SLACK


def merged(one: Told, other: Told, today: date) -> Told:
    """Both marks as one: a disk may have refused some, and another process may have made some.

    Where they differ about a line, the later day counts that is not ahead of today.
    """
    days = [*one.days, *(day for day in other.days if day not in one.days)]
    last = max((one.last_digest, other.last_digest), key=lambda day: _credible(day, today))
    if last is not None:
        days.remove(last)
    said = dict(one.said)
    for key, day in other.said.items():
        said[key] = max((said.get(key, day), day), key=lambda each: _credible(each, today))
    return Told(last, said, tuple(days)[-DIGESTS_KEPT:])


def without(told: Told, today: date) -> Told:
    """The marks as they would be had nothing been told today."""
    days = [day for day in told.days if day != today]
    said = {key: day for key, day in told.said.items() if day != today}
    return Told(days[-1] if days else None, said, tuple(days[:-1]))


def _credible(day: date | None, today: date) -> tuple[bool, date]:
    return (False, date.min) if day is None else (not is_ahead(day, today), day)


def mark(line: Due) -> str:
    """What names a line among the marks: the code, what is due, since when, and what is wrong."""
    return f"{_about(line)}{(line.again or line.since).isoformat()}{_trouble(line)}"


def _about(line: Due) -> str:
    return f"{line.code} {line.what} "


def _trouble(line: Due) -> str:
    """What is wrong, by what stays the same of it while days and amounts are corrected."""
    if line.what not in ("safety", "weak"):
        return ""
    return "".join(f" {name}" for one in line.reasons if (name := _name_of_trouble(one)))


def _name_of_trouble(one: Reason) -> str:
    match one:
        case OnHold():
            return f"hold:{one.event}"
        case RecalledInside():
            return f"recalled-inside:{one.lot}"
        case SpoilageSeen():
            return "spoiling"
        case BareLid() | LidNotKnown():
            return "lid"
        case StandsWeak():
            return "past" if one.is_past else "weak"
        case DatedAhead():
            return f"ahead:{one.entry}"
        case ClockBehind():
            return "clock"
        case (
            PastLongest() | ReadyToPress() | NotShaken() | LookAtIt() | LookAgain() | GoodThrough()
            | NoDate() | NotCounted() | WhileAway()
        ):  # fmt: skip
            return ""  # what may stand beside a danger is none
        case _:
            assert_never(one)


def is_urgent(line: Due, told: Told, today: date) -> bool:
    """Whether a line is pressing, and none of the digests that are marked told it.

    A day that was corrected, or until which it was put off, makes nothing new of what the last
    digest told; another hold does.
    """
    if line.what not in URGENT:
        return False
    keys = mark(line), mark(msgspec.structs.replace(line, again=None))
    if any(key in told.said and not is_ahead(told.said[key], today) for key in keys):
        return False
    begins, ends = _about(line), _trouble(line)
    last = max((day for day in told.days if not is_ahead(day, today)), default=None)
    return not any(
        day == last and key.startswith(begins) and key.endswith(ends)
        for key, day in told.said.items()
    )


def digest_instant(day: date, at: time, zone: tzinfo) -> datetime:
    """The instant, in UTC, of the maker's digest hour on a day.

    Where the clocks skip that hour it is as long after midnight as on any other day; where
    they repeat it, the first of the two.
    """
    return datetime.combine(day, at, zone).astimezone(UTC)


def is_time(now: datetime, practice: Practice, told: Told) -> bool:
    """Whether today's digest is due now: past its hour, within waking hours, not yet delivered.

    Args:
        now: the present, in the maker's zone.
        practice: the digest hour and the waking hours.
        told: the delivery marks.
    """
    today, zone = now.date(), now.tzinfo
    if zone is None:
        raise ValueError("now needs a zone")
    if told.has(today):
        return False
    if now.astimezone(UTC) < digest_instant(today, practice.digest_at, zone):
        return False
    earliest = min(practice.waking_from, practice.digest_at)
    return earliest <= now.time() < practice.waking_until or (
        # A digest hour outside the waking hours is the maker's own wish.
        practice.digest_at >= practice.waking_until
    )


def lines_to_say(
    batches: Iterable[Batch],
    practice: Practice,
    today: date,
    told: Told,
    *,
    stays: Sequence[Stay] = (),
    not_held: Sequence[Flag] = (),
    ahead: Sequence[Due] = (),
) -> list[Due]:
    """What is due and was not delivered, the most pressing for each code.

    Nothing on a day spent away; on the day before, also what will happen meanwhile. `ahead` are
    the lines of what is dated ahead.
    """
    if is_away(stays, today):
        return []
    batches = list(batches)
    # A line may have given way to a more pressing one for days: the marks know what was delivered.
    every = list(every_line(batches, practice, today, not_held=not_held))
    graver = {line.code for line in every if line.what in BEFORE_READY}
    unsaid = (one for one in every if not (one.what == "ready" and one.code in graver))
    first = one_a_code(line for line in unsaid if not _was_told(line, today, told))
    if stay := leaving_tomorrow(stays, today):
        for warning in while_away(batches, stay, practice):
            own = first.get(warning.code)
            both = (*own.reasons, *warning.reasons) if own else ()
            first[warning.code] = msgspec.structs.replace(own, reasons=both) if own else warning
    return with_dated_ahead(
        first.values(), [line for line in ahead if not _was_told(line, today, told)]
    )


def _was_told(line: Due, today: date, told: Told) -> bool:
    said = told.said.get(mark(line))
    if said is None or is_ahead(said, today):
        return False
    return line.what not in DAILY or said >= today


def after_telling(told: Told, lines: Iterable[Due], today: date) -> Told:
    """The marks once these lines have been delivered; old marks fall away."""
    lines = list(lines)
    said = [*lines, *(line.also for line in lines if line.also is not None)]
    now = {mark(line): today for line in said}
    before = {
        key: day
        for key, day in told.said.items()
        if key not in now and not today - day > MARKS_LAST
    }
    kept = list(before.items())[-LINES_KEPT:] if len(before) > LINES_KEPT else before.items()
    earlier = tuple(day for day in told.days if day != today)
    return Told(today, dict(kept) | now, earlier[-DIGESTS_KEPT:])
