"""An extract and the bottles filled from it."""

from collections.abc import Iterable
from datetime import date
from typing import Literal

import msgspec

from tracker.core.practice.practice import Way
from tracker.core.shelf.contents import Contents
from tracker.core.shelf.flow import Flow, Given
from tracker.core.shelf.hold import Hold, Look, gravest
from tracker.core.shelf.late import Late
from tracker.core.values.times import Period, When

# A percolate is collected below the herb.
Opened = Literal["pressed", "collected", "drawn off", "blended"]


# Said of a thing that belongs to nobody any more.
NOBODY = "none"


class Bottle(msgspec.Struct, omit_defaults=True):
    """One numbered bottle of an extract.

    What is in it is what its extract is made of, unless that changed since or it was refilled.
    """

    number: int
    size_ml: float
    volume_ml: float
    filled: When
    discarded: bool = False
    paid: str | None = None
    made: Contents | None = None
    best_by: date | None = None
    is_undated: bool = False  # some of what it was refilled with is of no known date
    hold: Hold | None = None  # of what it was refilled with
    sources: tuple[Flow, ...] = ()

    @property
    def on_hold(self) -> bool:
        """Whether it is on hold by itself, beside its extract."""
        return self.hold is not None


class Thrown(msgspec.Struct, frozen=True):
    """What a discard took: of which bottle, what it was made of, and a day of its own."""

    made: Contents
    bottle: int | None = None
    best_by: date | None = None
    is_undated: bool = False


class Extract(msgspec.Struct, omit_defaults=True):
    """What one pressing gave, and what is left of it in bulk and in bottles.

    A draw-off and a blend open one too. `made` says what it is made of.
    """

    id: str
    letter: str
    pressed: When
    pressed_ml: float
    volume_ml: float
    keeps: Period
    made: Contents
    opened: Opened = "pressed"
    how: str | None = None
    marc: str | None = None
    known: str = "measured"
    keeps_days: bool = False  # `keeps` is days for being weak: no matter in something strong
    best_by: date | None = None
    is_undated: bool = False  # some of what it is made of is of no known date
    filtered_ml: float | None = None
    filter_loss_ml: float = 0.0
    lees_ml: float = 0.0
    before_ml: float | None = None  # all the liquid there was before it was pressed
    later_ml: float = 0.0  # what of `pressed_ml` the same marc gave when it was pressed again
    added_ml: float = 0.0
    steep: int = 1  # which steep of its jar it is from
    steep_way: Way = "maceration"  # and how that was made
    passed_on_ml: float = 0.0
    dispensed_ml: float = 0.0
    discarded_ml: float = 0.0
    unaccounted_ml: float = 0.0
    counted: When | None = None
    place: str | None = None
    belongs_to: str | None = None  # where it is another's than its jar is; `NOBODY` where nobody's
    bottles: list[Bottle] = []
    look: Look | None = None
    hold: Hold | None = None
    sources: tuple[Flow, ...] = ()
    given: list[Given] = []
    missing: list[Given] = []  # what a count did not find: gone, and nobody wrote down where
    discards: dict[str, float] = {}
    thrown: dict[str, Thrown] = {}  # by discard: out of a bottle, or of bulk that changed since
    late: dict[str, tuple[Late, ...]] = {}  # by the event that used it, where it may be late
    put_off: dict[str, date] = {}  # which reminder, until which day

    @property
    def good_through(self) -> date | None:
        """The last good day, from the early end of the pressing; bottling never restarts it.

        What was put into it may be good for less long: the earliest day of any part counts.
        None where nobody knows when it, or a part of it, was pressed. A weak liquid ends
        earlier than this: `core/reckoning/keeps.py` says when.
        """
        if self.is_undated or self.pressed.precision == "unknown":
            return None
        own = self.keeps.after(self.pressed.earliest)
        return own if self.best_by is None else min(own, self.best_by)

    def day_of(self, part: Bottle | Thrown) -> date | None:
        """The same of a bottle, or of what was thrown out of one: its own day where it has one."""
        if part.is_undated:
            return None
        return part.best_by or self.good_through

    @property
    def on_hold(self) -> bool:
        """Whether it is on hold itself."""
        return self.hold is not None

    def given_on_hold(self, hold: Hold, bottle: int | None = None) -> tuple[Given, ...]:
        """What was given out once something of it stood on hold, of one bottle where it is named.

        Nobody can record that who knows of the hold: the two were written down apart, or the
        hold later.
        """
        return tuple(
            one
            for one in self.given
            if one.on.last >= hold.on.last and bottle in (None, one.bottle)
        )

    def is_given_on_hold(self, also: Hold | None = None) -> bool:
        """Whether it, or what it is of, is on hold and some of it was given out since."""
        hold = gravest((self.hold, also))
        return hold is not None and bool(self.given_on_hold(hold))

    @property
    def bottled_ml(self) -> float:
        """What is left in its bottles."""
        return sum(bottle.volume_ml for bottle in self.bottles)

    @property
    def left_ml(self) -> float:
        """All that is left: bulk and bottles."""
        return self.volume_ml + self.bottled_ml

    def bottle(self, number: int) -> Bottle | None:
        """The bottle of that number, if it was filled."""
        for one in self.bottles:
            if one.number == number:
                return one
        return None


def earliest(days: Iterable[date | None]) -> date | None:
    """The earliest of some days; None where any is not known, since it may be the earliest."""
    known = list(days)
    return None if not known or None in known else min(day for day in known if day is not None)
