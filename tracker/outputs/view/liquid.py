"""An extract, a blend or a bottle as outputs read it: what there was, what is left, till when."""

from dataclasses import dataclass
from datetime import date
from typing import Literal

from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.extract import Bottle, Extract, Opened
from tracker.core.shelf.hold import Hold, HoldKind, Look
from tracker.core.shelf.thing import Batch, Thing, bottle_of, extract_of
from tracker.core.values.times import Period, When

InStock = Literal["in stock", "expired", "empty", "discarded"]


@dataclass(frozen=True, slots=True)
class HoldView:
    """What keeps a thing from being given out.

    Attributes:
        code: what it was put on: the thing itself, or the extract or jar it is of.
        why: as the maker said it; empty where nothing was said.
    """

    kind: HoldKind
    since: When
    why: str
    code: str


@dataclass(frozen=True, slots=True)
class BottleView:
    """One bottle.

    Attributes:
        good_through: its own day where it has one; None where nobody knows.
    """

    code: str
    number: int
    size_ml: float
    volume_ml: float
    filled: When
    state: InStock
    good_through: date | None
    hold: HoldView | None

    @property
    def is_full(self) -> bool:
        """Whether nothing was taken from it."""
        return self.volume_ml >= self.size_ml - DROP_ML

    @property
    def is_begun(self) -> bool:
        """Whether some of it was taken, and some is left."""
        return DROP_ML <= self.volume_ml < self.size_ml - DROP_ML


@dataclass(frozen=True, slots=True)
class Gone:
    """Where what is missing from an extract went, ml."""

    lees_ml: float
    passed_on_ml: float
    dispensed_ml: float
    discarded_ml: float
    unaccounted_ml: float


@dataclass(frozen=True, slots=True)
class ExtractView:
    """An extract or the liquid of a blend, in bulk and in bottles.

    Attributes:
        pressed: when it was pressed, drawn off or blended.
        volume_ml: what is left in bulk.
        left_ml: all that is left, bottles included.
        from_parts: whether its last good day is the earliest of what went into it.
        good_through: None where nobody knows when it was pressed.
        first_to_end: the first day that ends some of what is left, in a bottle or in bulk.
    """

    id: str
    code: str
    opened: Opened
    pressed: When
    pressed_ml: float
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
    state: InStock
    good_through: date | None
    first_to_end: date | None
    days_left: int | None
    hold: HoldView | None
    look: Look | None
    place: str | None

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
    return None if hold is None else HoldView(hold.kind, hold.on, hold.why, _held_code(thing, hold))


def _held_code(thing: Thing, hold: Hold) -> str:
    if thing.bottle is not None and thing.bottle.hold is hold:
        return thing.code
    if thing.extract is not None and thing.extract.hold is hold:
        return thing.batch.extract_code(thing.extract)
    return thing.batch.code


def last_good_day(thing: Thing) -> date | None:
    """The last good day of an extract or bottle; None of a jar, or where nobody knows."""
    if thing.extract is None or thing.extract.pressed.precision == "unknown":
        return None
    return thing.good_through


def stock_state(thing: Thing, today: date) -> InStock:
    """Where an extract, blend or bottle stands."""
    assert thing.extract is not None
    if thing.bottle is not None and thing.bottle.discarded:
        return "discarded"
    left_ml = thing.extract.left_ml if thing.bottle is None else thing.bottle.volume_ml
    if left_ml < DROP_ML:
        return "empty"
    last = thing.good_through
    return "expired" if last is not None and today > last else "in stock"


def bottle_view(batch: Batch, extract: Extract, bottle: Bottle, today: date) -> BottleView:
    """One bottle of an extract."""
    thing = bottle_of(batch, extract, bottle)
    return BottleView(
        thing.code,
        bottle.number,
        bottle.size_ml,
        bottle.volume_ml,
        bottle.filled,
        stock_state(thing, today),
        last_good_day(thing),
        hold_of(thing),
    )


def extract_view(batch: Batch, extract: Extract, today: date) -> ExtractView:
    """An extract with its bottles."""
    thing = extract_of(batch, extract)
    last = last_good_day(thing)
    return ExtractView(
        id=extract.id,
        code=thing.code,
        opened=extract.opened,
        pressed=extract.pressed,
        pressed_ml=extract.pressed_ml,
        how=extract.how,
        filtered_ml=extract.filtered_ml,
        filter_loss_ml=extract.filter_loss_ml,
        volume_ml=extract.volume_ml,
        left_ml=extract.left_ml,
        bottled_ml=extract.bottled_ml,
        bottles=tuple(bottle_view(batch, extract, one, today) for one in extract.bottles),
        gone=Gone(
            extract.lees_ml,
            extract.passed_on_ml,
            extract.dispensed_ml,
            extract.discarded_ml,
            extract.unaccounted_ml,
        ),
        keeps=extract.keeps,
        from_parts=extract.best_by is not None,
        state=stock_state(thing, today),
        good_through=last,
        first_to_end=None if last is None else extract.first_to_end[0],
        days_left=None if last is None else (last - today).days,
        hold=hold_of(thing),
        look=extract.look,
        place=extract.place,
    )
