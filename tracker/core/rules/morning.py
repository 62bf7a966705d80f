"""Which lines a digest has, and when it is time for one. What was delivered is passed in."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, time, timedelta, tzinfo

import msgspec

from tracker.core.practice.practice import Practice
from tracker.core.rules.away import Stay, back_since, is_away, leaving_tomorrow
from tracker.core.rules.before_leaving import while_away
from tracker.core.rules.reminders import DAILY, ORDER, Due, every_line
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.thing import Batch


@dataclass(frozen=True, slots=True)
class Told:
    """The delivery marks: the first and last digest's days, and what was delivered on which day."""

    last_digest: date | None = None
    said: Mapping[str, date] = field(default_factory=dict)
    first_digest: date | None = None

    @property
    def begun(self) -> date | None:
        """The first day a digest has answered for."""
        if self.first_digest is None and self.last_digest is not None:
            return self.last_digest + timedelta(days=1)
        return self.first_digest


MARKS_LAST = timedelta(days=730)


def mark(line: Due) -> str:
    """What names a line among the marks: the code, what it wants, and since when."""
    return f"{line.code} {line.what} {(line.again or line.since).isoformat()}"


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
    if told.last_digest is not None and told.last_digest >= today:
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
) -> list[Due]:
    """What is due and was not delivered, the most pressing for each code.

    Nothing on a day spent away; on the day before, also what will happen meanwhile.
    """
    if is_away(stays, today):
        return []
    batches = list(batches)
    # A line may have given way to a more pressing one for days: the marks know what was delivered.
    unsaid_from = max(told.begun or today, today - MARKS_LAST)
    if back := back_since(stays, today):
        unsaid_from = min(unsaid_from, back.first)
    first: dict[str, Due] = {}
    for line in every_line(batches, practice, today, unsaid_from=unsaid_from, not_held=not_held):
        if _was_told(line, today, told):
            continue
        kept = first.get(line.code)
        if kept is None or ORDER.index(line.what) < ORDER.index(kept.what):
            first[line.code] = line
    if stay := leaving_tomorrow(stays, today):
        for warning in while_away(batches, stay, practice):
            own = first.get(warning.code)
            both = (*own.reasons, *warning.reasons) if own else ()
            first[warning.code] = msgspec.structs.replace(own, reasons=both) if own else warning
    return sorted(first.values(), key=lambda one: (ORDER.index(one.what), one.since, one.code))


def _was_told(line: Due, today: date, told: Told) -> bool:
    said = told.said.get(mark(line))
    return said is not None and (line.what not in DAILY or said >= today)


def after_telling(told: Told, lines: Iterable[Due], today: date) -> Told:
    """The marks once these lines have been delivered; old marks fall away."""
    kept = {key: day for key, day in told.said.items() if day >= today - MARKS_LAST}
    return replace(
        told,
        first_digest=told.begun or today,
        last_digest=today,
        said=kept | {mark(line): today for line in lines},
    )
