"""An extract, a blend or a bottle as outputs read it: what there was, what is left, till when."""

from datetime import date
from typing import Literal

import msgspec

from tracker.core.practice.practice import Practice
from tracker.core.reckoning import keeps
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.extract import Bottle, Extract, Opened
from tracker.core.shelf.hold import Hold, HoldKind, Look
from tracker.core.shelf.thing import Batch, Thing, bottle_of, extract_of
from tracker.core.values.times import LONG_AGO, Period, When

InStock = Literal["in stock", "expired", "empty", "discarded"]


class WeakView(msgspec.Struct, frozen=True):
    """That a liquid is too weak to keep.

    Attributes:
        since: the day it became so; None where nobody knows.
        through: its last good day, kept cold; None where nobody knows.
        is_past: whether that day is over.
    """

    since: date | None
    through: date | None
    is_past: bool = False


class HoldView(msgspec.Struct, frozen=True):
    """What keeps a thing from being given out.

    Attributes:
        code: what it was put on: the thing itself, or the extract or jar it is of.
        why: as the maker said it; empty where nothing was said.
        given_ml: what was given out while it was on, and `given_on` when for the last time.
    """

    kind: HoldKind
    since: When
    why: str
    code: str
    given_ml: float = 0.0
    given_on: When | None = None


class BottleView(msgspec.Struct, frozen=True):
    """One bottle.

    Attributes:
        good_through: its own day where it has one; None where nobody knows.
        is_refilled: whether something went into it since it was filled.
    """

    code: str
    number: int
    size_ml: float
    volume_ml: float
    filled: When
    state: InStock
    good_through: date | None
    hold: HoldView | None
    weak: WeakView | None
    is_refilled: bool

    @property
    def is_full(self) -> bool:
        """Whether nothing was taken from it."""
        return self.volume_ml >= self.size_ml - DROP_ML

    @property
    def is_begun(self) -> bool:
        """Whether some of it was taken, and some is left."""
        return DROP_ML <= self.volume_ml < self.size_ml - DROP_ML


class Gone(msgspec.Struct, frozen=True):
    """Where what is missing from an extract went, ml."""

    lees_ml: float
    passed_on_ml: float
    dispensed_ml: float
    discarded_ml: float
    unaccounted_ml: float


class ExtractView(msgspec.Struct, frozen=True):
    """An extract or the liquid of a blend, in bulk and in bottles.

    Attributes:
        pressed: when it was first pressed, drawn off or blended.
        later_ml: what of `pressed_ml` came when the same marc was pressed again.
        volume_ml: what is left in bulk.
        left_ml: all that is left, bottles included.
        from_parts: whether its last good day is the earliest of what went into it.
        is_weak: whether it is an earlier day, since it is or was weak, or may not keep.
        good_through: None where nobody knows when it, or a part of it, was pressed.
        first_to_end: the first day that ends some of what is left, in a bottle or in bulk.
    """

    id: str
    code: str
    opened: Opened
    pressed: When
    pressed_ml: float
    later_ml: float
    how: str | None
    filtered_ml: float | None
    filter_loss_ml: float
    volume_ml: float
    left_ml: float
    bottled_ml: float
    bottles: tuple[BottleView, ...]
    gone: Gone
    keeps: Period
    from_parts: bool
    is_weak: bool
    state: InStock
    good_through: date | None
    first_to_end: date | None
    days_left: int | None
    hold: HoldView | None
    look: Look | None
    place: str | None
    weak: WeakView | None

    @property
    def is_some_weak(self) -> bool:
        """Whether what is left in bulk, or in a bottle, is too weak to keep."""
        in_bulk = self.weak is not None and (self.volume_ml >= DROP_ML or not self.bottles)
        left = (one for one in self.bottles if one.volume_ml >= DROP_ML)
        return in_bulk or any(one.weak is not None for one in left)

    @property
    def look_again(self) -> date | None:
        """The day the last look named to look again, while any of it is left."""
        is_left = self.look is not None and self.left_ml >= DROP_ML
        return self.look.again_on if is_left and self.look is not None else None

    @property
    def holds(self) -> tuple[HoldView, ...]:
        """What holds it or any of its bottles."""
        every = (self.hold, *(one.hold for one in self.bottles))
        return tuple(one for one in every if one is not None)

    @property
    def dated_apart(self) -> tuple[BottleView, ...]:
        """The bottles with something in them whose last good day is another than its own."""
        return tuple(
            one
            for one in self.bottles
            if one.volume_ml >= DROP_ML and one.good_through != self.good_through
        )


def hold_of(thing: Thing) -> HoldView | None:
    """The gravest of what holds a thing: put on itself, its extract or its jar."""
    hold = thing.hold
    if hold is None:
        return None
    number = thing.bottle.number if thing.bottle is not None else None
    given = thing.extract.given_on_hold(hold, number) if thing.extract is not None else ()
    out_ml, last = sum(one.ml for one in given), given[-1].on if given else None
    return HoldView(hold.kind, hold.on, hold.why, _held_code(thing, hold), out_ml, last)


def _held_code(thing: Thing, hold: Hold) -> str:
    if thing.bottle is not None and thing.bottle.hold is hold:
        return thing.code
    if thing.extract is not None and thing.extract.hold is hold:
        return thing.batch.extract_code(thing.extract)
    return thing.batch.code


def weak_of(thing: Thing, practice: Practice, today: date) -> WeakView | None:
    """Since when a liquid is too weak to keep, and how long it is good; None if it keeps."""
    spell = keeps.weak_spell(thing.made, practice)
    if spell is None:
        return None
    since = None if spell.since == LONG_AGO else spell.since
    through = keeps.weak_through(thing, practice)
    return WeakView(since, through, through is not None and through < today)


def stock_state(thing: Thing, practice: Practice, today: date) -> InStock:
    """Where an extract, blend or bottle stands."""
    assert thing.extract is not None
    if thing.bottle is not None and thing.bottle.discarded:
        return "discarded"
    left_ml = thing.extract.left_ml if thing.bottle is None else thing.bottle.volume_ml
    if left_ml < DROP_ML:
        return "empty"
    last = keeps.good_through(thing, practice)
    return "expired" if last is not None and today > last else "in stock"


def bottle_view(
    batch: Batch, extract: Extract, bottle: Bottle, practice: Practice, today: date
) -> BottleView:
    """One bottle of an extract."""
    thing = bottle_of(batch, extract, bottle)
    return BottleView(
        thing.code,
        bottle.number,
        bottle.size_ml,
        bottle.volume_ml,
        bottle.filled,
        stock_state(thing, practice, today),
        keeps.good_through(thing, practice),
        hold_of(thing),
        weak_of(thing, practice, today),
        bool(bottle.sources),
    )


def extract_view(batch: Batch, extract: Extract, practice: Practice, today: date) -> ExtractView:
    """An extract with its bottles."""
    thing = extract_of(batch, extract)
    last = keeps.good_through(thing, practice)
    return ExtractView(
        id=extract.id,
        code=thing.code,
        opened=extract.opened,
        pressed=extract.pressed,
        pressed_ml=extract.pressed_ml,
        later_ml=extract.later_ml,
        how=extract.how,
        filtered_ml=extract.filtered_ml,
        filter_loss_ml=extract.filter_loss_ml,
        volume_ml=extract.volume_ml,
        left_ml=extract.left_ml,
        bottled_ml=extract.bottled_ml,
        bottles=tuple(bottle_view(batch, extract, one, practice, today) for one in extract.bottles),
        gone=Gone(
            extract.lees_ml,
            extract.passed_on_ml,
            extract.dispensed_ml,
            extract.discarded_ml,
            extract.unaccounted_ml,
        ),
        keeps=extract.keeps,
        from_parts=extract.best_by is not None or extract.is_undated,
        is_weak=last is not None and last != thing.good_through,
        state=stock_state(thing, practice, today),
        good_through=last,
        first_to_end=keeps.first_to_end(batch, extract, practice)[0],
        days_left=None if last is None else (last - today).days,
        hold=hold_of(thing),
        look=extract.look,
        place=extract.place,
        weak=weak_of(thing, practice, today),
    )
