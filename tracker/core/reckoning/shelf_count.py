"""What a stocktake walks past, place by place, and what it finds."""

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from typing import Literal

import msgspec

from tracker.core.facts.fields import About, Known
from tracker.core.reckoning.costs import Lots, cost_per_ml, exact, lot_cost
from tracker.core.reckoning.flows.lot_balance import accounts
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.extract import Bottle, Extract
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch, Thing, bottle_of, extract_of

CountKind = Literal["extracts", "bottles", "lots"]


class OnShelf(msgspec.Struct, frozen=True):
    """One thing as the book has it: an extract in bulk, a bottle or a lot.

    Attributes:
        about: how an event names it.
        book: what there is of it by the book, in `unit`.
        cost_each: what a millilitre or gram of it cost; None where that is not known.
        glass: what the empty bottle cost.
        ml_of_gram: of what is weighed and kept in ml, what a gram of it takes up.
    """

    code: str
    about: About
    unit: str
    book: float
    cost_each: Fraction | None = None
    glass: Fraction = Fraction(0)
    ml_of_gram: float | None = None


class ToCount(msgspec.Struct, frozen=True):
    """What is counted in one answer: one thing, or all full bottles of one size.

    Attributes:
        label: what it is called on a sheet: `CAOF-26-01A`, `CAOF-26-01A 100 ml`.
        size_ml: of full bottles, which are counted by number.
        lot: the lot it is, where it is one; else `thing`, of which there is some.
        place: where it stands, where that is known.
    """

    label: str
    kind: CountKind
    own: tuple[OnShelf, ...]
    place: str | None = None
    size_ml: float | None = None
    thing: Thing | None = None
    lot: Lot | None = None

    @property
    def code(self) -> str:
        """The extract, bottle or lot it is, or that its bottles are of."""
        thing = self.lot or self.thing
        assert thing is not None
        return thing.code

    @property
    def book(self) -> float:
        """What the book says there is of it, in g or ml."""
        return sum(one.book for one in self.own)

    @property
    def on_hold(self) -> bool:
        """Whether it stands on hold, or any of its bottles does."""
        return self.is_held_whole or bool(self.bottles_on_hold)

    @property
    def is_held_whole(self) -> bool:
        """Whether all of it stands on hold, by what it is of."""
        thing = self.lot or self.thing
        return thing is not None and thing.on_hold

    @property
    def bottles_on_hold(self) -> list[int]:
        """The numbers of those of its bottles that are on hold by themselves."""
        extract = None if self.thing is None else self.thing.extract
        numbers = {one.about.bottle for one in self.own}
        bottles = [] if extract is None else extract.bottles
        return [one.number for one in bottles if one.on_hold and one.number in numbers]


class Counting(msgspec.Struct, frozen=True):
    """What was found of one thing: `there` of it, `written` so where it was given as an amount."""

    of: OnShelf
    there: float
    known: Known = "measured"
    written: str | None = None

    @property
    def missing(self) -> float:
        """What was not found; below zero where there is more than the book had."""
        return self.of.book - self.there

    @property
    def differs(self) -> bool:
        """Whether it is not as the book says, by a drop at least."""
        return abs(self.missing) >= DROP_ML

    @property
    def cost(self) -> Fraction | None:
        """What is missing cost, with its bottle where that is not there at all."""
        if self.of.cost_each is None:
            return None
        glass = self.of.glass if self.there < DROP_ML <= self.of.book else Fraction(0)
        return self.of.cost_each * exact(self.missing) + glass


class Found(msgspec.Struct, frozen=True):
    """One answer of a stocktake: what was found of each thing it was about."""

    item: ToCount
    counted: tuple[Counting, ...]

    @property
    def differs(self) -> bool:
        """Whether anything of it is not as the book says."""
        return any(one.differs for one in self.counted)


def to_count(batches: Iterable[Batch], lots: Sequence[Lot]) -> list[ToCount]:
    """All there is to count, place by place; lots and what has no known place come last."""
    every = list(batches)
    by_id = {one.id: one for one in lots}
    found = [
        item
        for batch in every
        for extract in batch.extracts
        for item in _of_extract(batch, extract, by_id)
    ]
    found.sort(key=lambda one: (one.place is None, (one.place or "").casefold()))
    return found + [
        _of_lot(lot, account.left, by_id)
        for lot, account in accounts(lots, every)
        if account.left >= DROP_ML or lot.on_hold
    ]


def _of_extract(batch: Batch, extract: Extract, lots: Lots) -> Iterator[ToCount]:
    whole = extract_of(batch, extract)
    place = extract.place
    if extract.volume_ml >= DROP_ML:
        yield ToCount(whole.code, "extracts", (on_shelf(whole, lots),), place, thing=whole)
    full: dict[float, list[Bottle]] = {}
    begun: list[Bottle] = []
    for bottle in extract.bottles:
        if bottle.volume_ml >= bottle.size_ml - DROP_ML:
            full.setdefault(bottle.size_ml, []).append(bottle)
        elif bottle.volume_ml >= DROP_ML:
            begun.append(bottle)
    for size_ml, bottles in sorted(full.items(), reverse=True):
        own = tuple(on_shelf(bottle_of(batch, extract, one), lots) for one in bottles)
        label = f"{whole.code} {size_ml:g} ml"
        yield ToCount(label, "bottles", own, place, size_ml, thing=whole)
    for bottle in begun:
        thing = bottle_of(batch, extract, bottle)
        yield ToCount(thing.code, "bottles", (on_shelf(thing, lots),), place, thing=thing)


def on_shelf(thing: Thing, lots: Lots) -> OnShelf:
    """An extract in bulk or a bottle as the book has it."""
    extract, bottle = thing.extract, thing.bottle
    assert extract is not None
    there = extract.volume_ml if bottle is None else bottle.volume_ml
    glass = Fraction(bottle.paid) if bottle is not None and bottle.paid else Fraction(0)
    about = About(
        jar=thing.batch.id, extract=extract.id, bottle=None if bottle is None else bottle.number
    )
    return OnShelf(thing.code, about, "ml", there, cost_per_ml(thing.made, lots), glass)


def _of_lot(lot: Lot, left: float, lots: Lots) -> ToCount:
    whole = lot_cost(lot, lots)
    each = None if whole is None else whole / exact(lot.amount)
    there, gram = max(left, 0.0), lot.ml_of_gram
    if gram is None:
        own = OnShelf(lot.code, About(jar=lot.id), lot.unit, there, each)
    else:
        of_gram = None if each is None else each * exact(gram)
        own = OnShelf(lot.code, About(jar=lot.id), "g", there / gram, of_gram, ml_of_gram=gram)
    return ToCount(lot.code, "lots", (own,), lot=lot)


def to_record(found: Sequence[Found]) -> list[Counting]:
    """What is recorded of a stocktake: each extract, begun bottle and lot, and bottles that differ.

    Full bottles that are all there are not recorded one by one: of an extract that has nothing
    else to record the first one stands for them, so that the book knows that it was counted.
    """
    kept: list[Counting] = []
    told: set[About] = set()
    for one in found:
        each = one.item.size_ml is None
        own = [counting for counting in one.counted if each or counting.differs]
        kept += own
        told |= {_extract(counting) for counting in own}
    for one in found:
        if one.counted and (whole := _extract(one.counted[0])) not in told:
            told.add(whole)
            kept.append(one.counted[0])
    return kept


def _extract(one: Counting) -> About:
    return About(jar=one.of.about.jar, extract=one.of.about.extract)
