"""Why a line is due: one small frozen kind for each reason, which outputs put in words."""

from datetime import date

import msgspec

from tracker.core.practice.practice import Way
from tracker.core.shelf.hold import HoldKind
from tracker.core.values.times import When


class OnHold(msgspec.Struct, frozen=True, tag="on_hold"):
    """It is on hold: by what kind of hold, why, and what was given out since all the same.

    `event` is the one that put it on hold.
    """

    kind: HoldKind
    why: str
    given_ml: float = 0.0
    given_on: When | None = None
    event: str = ""


class RecalledInside(msgspec.Struct, frozen=True, tag="recalled_inside"):
    """Some of a lot that was called back is in it, and it is on no hold."""

    lot: str
    on: When


class SpoilageSeen(msgspec.Struct, frozen=True, tag="spoilage_seen"):
    """The last look found signs that call for a hold, and it was to be watched."""

    signs: tuple[str, ...]


class BareLid(msgspec.Struct, frozen=True, tag="bare_lid"):
    """A bare metal lid is on it."""


class LidNotKnown(msgspec.Struct, frozen=True, tag="lid_not_known"):
    """The words for its lid, or for what lies under it, do not say whether it is bare metal."""

    lid: str
    barrier: str | None = None


class StandsWeak(msgspec.Struct, frozen=True, tag="stands_weak"):
    """It is too weak to keep, since a day; None where nobody knows since when.

    `through` is its last good day, and `is_past` whether that is over.
    """

    pct_vol: float
    since: date | None
    through: date | None
    is_past: bool = False


class NoDate(msgspec.Struct, frozen=True, tag="no_date"):
    """Nobody knows till when it is good; so much is left in all."""

    left_ml: float


class PastLongest(msgspec.Struct, frozen=True, tag="past_longest"):
    """So many days past its longest time on the herb."""

    days: int
    way: Way = "maceration"


class ReadyToPress(msgspec.Struct, frozen=True, tag="ready_to_press"):
    """Its minimum is over; `late` is the day that happened, unless it is today."""

    late: date | None
    way: Way = "maceration"


class NotShaken(msgspec.Struct, frozen=True, tag="not_shaken"):
    """It was last shaken on a day; never, where that is None, since it began to steep."""

    last: When | None
    began: When
    is_first: bool


class LookAtIt(msgspec.Struct, frozen=True, tag="look_at_it"):
    """The practice asks for a look."""


class LookAgain(msgspec.Struct, frozen=True, tag="look_again"):
    """The last look named a day to look again: when that was, and what was seen."""

    on: When
    signs: tuple[str, ...]


class GoodThrough(msgspec.Struct, frozen=True, tag="good_through"):
    """Its last good day is near or past, be it of one bottle; so much is left in all."""

    day: date
    left_ml: float
    bottle: int | None = None


class NotCounted(msgspec.Struct, frozen=True, tag="not_counted"):
    """It was last counted on a day; never, where that is None, since there was any of it."""

    last: date | None
    began: date
    left_ml: float


class DatedAhead(msgspec.Struct, frozen=True, tag="dated_ahead"):
    """An event of it is dated ahead of today, as a clock set wrongly makes it: it does not count.

    `entry` is the number to correct it by.
    """

    kind: str
    on: When
    entry: str


class ClockBehind(msgspec.Struct, frozen=True, tag="clock_behind"):
    """Most of the book is dated ahead of today: rather the clock is wrong than all of it."""

    last: date


class WhileAway(msgspec.Struct, frozen=True, tag="while_away"):
    """What days fall into a stay away: it becomes ready, passes its longest, its last good day."""

    ready: date | None = None
    longest: date | None = None
    good_through: date | None = None


Reason = (
    OnHold | RecalledInside | SpoilageSeen | BareLid | LidNotKnown | StandsWeak | PastLongest
    | ReadyToPress | NotShaken | LookAtIt | LookAgain | GoodThrough | NoDate | NotCounted
    | ClockBehind | DatedAhead | WhileAway
)  # fmt: skip
