"""What a life is made of: moments with a letter each, steeps, and what they gave."""

from collections.abc import Iterable
from datetime import date
from typing import Literal

import msgspec

from tracker.core.values.day_words import short_day

MomentKind = Literal[
    "charged",
    "blended",
    "again",
    "added",
    "drawn",
    "shaken",
    "dispensed",
    "ready",
    "longest",
    "pressed",
    "held",
    "split",
    "joined",
    "discarded",
    "given out",
    "gone",
    "today",
    "good through",
]
# One letter for each kind, so that a picture needs no colour, in the order in which they come
# where they fall on one day: a jar is pressed and then steeped again. What comes often is a tick.
LETTERS: dict[MomentKind, str] = {
    "charged": "C",
    "blended": "B",
    "ready": "R",
    "longest": "L",
    "drawn": "D",
    "pressed": "P",
    "again": "N",
    "added": "A",
    "held": "H",
    "split": "S",
    "joined": "J",
    "discarded": "X",
    "given out": "O",
    "gone": "E",
    "today": "T",
    "good through": "G",
}
# What the page says of the letters, once for all lines.
LETTERS_SAID = (
    "C charged, B blended, N new steep, R may be pressed, L longest, D drawn off, P pressed, "
    "A added to, H held, S split, J joined, X discarded, O given out whole, E all gone, "
    "T today, G good through; above, herb in the jar, with a tick for each shake; below, what it "
    "gave: double in date, broken thick while held, dashed when too old, with a tick for what was "
    "given out; dotted to come"
)


def days_of(first: date, last: date) -> str:
    """`3 Mar 2026`, or `1 Mar 2026 to 31 Mar 2026`."""
    return short_day(first) if first == last else f"{short_day(first)} to {short_day(last)}"


def times(count: int) -> str:
    """`once`, `12 times`."""
    return "once" if count == 1 else f"{count} times"


class Moment(msgspec.Struct, frozen=True):
    """Something on a day, or within a range of days where the day is not known.

    Attributes:
        is_known: whether more is known than by which day it had happened.
    """

    kind: MomentKind
    first: date
    last: date
    said: str
    is_known: bool = True

    @property
    def days(self) -> str:
        """The day, or the range, in words."""
        said = days_of(self.first, self.last)
        return said if self.is_known else f"by {said}"


class Steep(msgspec.Struct, frozen=True):
    """A time with herb in the jar: from when, till when; None while it is in."""

    begun: date
    ended: date | None


class Liquid(msgspec.Struct, frozen=True):
    """What a jar gave, while any of it is there.

    Attributes:
        code: of the extract, the blend or the bottle.
        begun: from when there was some.
        gone: the day nothing was left any more; None while there is some.
        last: its last good day; None where nobody knows.
        held: since when it is on hold, where it is.
    """

    code: str
    begun: date
    gone: date | None
    last: date | None
    held: date | None


def stacked(places: Iterable[float], least_gap: float) -> list[int]:
    """A row for each place, from 0 up: no two in one row are nearer than the gap."""
    ends: list[float] = []
    rows = []
    for place in places:
        row = next((row for row, end in enumerate(ends) if place - end >= least_gap), len(ends))
        ends[row : row + 1] = [place]
        rows.append(row)
    return rows
