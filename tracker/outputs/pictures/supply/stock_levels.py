"""How much of each herb stood in stock, in date or held, on every day of a stretch of time.

Stock falls and rises on days: what is pressed, given out or past its date is so from one day on.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta
from typing import NamedTuple

import msgspec
from msgspec.structs import replace

from tracker.core.practice.practice import Practice
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.thing import Batch
from tracker.outputs.view.liquid import BottleView, ExtractView, extract_view
from tracker.outputs.view.made import HerbView, herbs_of

Snapshot = tuple[date, Sequence[Batch]]
_ONE_DAY = timedelta(days=1)


class Level(msgspec.Struct, frozen=True):
    """What was in stock from a day on, ml.

    Attributes:
        free_ml: in date and on no hold.
        held_ml: in date, and on hold or recalled.
        past_ml: past its date.
    """

    day: date
    free_ml: float = 0.0
    held_ml: float = 0.0
    past_ml: float = 0.0

    @property
    def in_date_ml(self) -> float:
        """All that is in date, on hold or not."""
        return self.free_ml + self.held_ml


class Part(NamedTuple):
    """Liquid in bulk or in a bottle: of which herbs, how much, till when, held or not."""

    herb: str
    ml: float
    last: date | None
    is_held: bool


class HerbStock(msgspec.Struct):
    """All there is to know of the stock of one herb over a stretch of time."""

    herbs: tuple[HerbView, ...]
    levels: tuple[Level, ...] = ()
    now: tuple[ExtractView, ...] = ()
    then: tuple[ExtractView, ...] = ()


def herb_key(herbs: Iterable[HerbView]) -> str:
    """The same of every extract of the same plants, whichever there is more of."""
    plants = {f"{one.herb} {one.part}" if one.part else one.herb for one in herbs}
    return " + ".join(sorted(plants))


class StockWalk:
    """A walk through the shelf of the first day, of the last, and of each between that changed it.

    What did not change is looked at once.
    """

    def __init__(self, practice: Practice) -> None:
        self._practice = practice
        self._stock: dict[str, HerbStock] = {}
        self._seen: dict[str, tuple[Batch, date, list[Part]]] = {}
        self._changes: dict[str, dict[date, list[Level]]] = defaultdict(lambda: defaultdict(list))
        self._first: date | None = None
        self._last: date | None = None

    def take(self, day: date, batches: Sequence[Batch]) -> None:
        """What stands there at the end of a day."""
        is_first, self._last = self._first is None, day
        self._first = self._first or day
        for batch in batches:
            seen = self._seen.get(batch.id)
            if seen is None or seen[0] is not batch:
                self._seen[batch.id] = (batch, day, list(self._parts(batch, day, is_first)))
                self._until(seen, day)
        for gone in self._seen.keys() - {one.id for one in batches}:
            self._until(self._seen.pop(gone), day)

    def _parts(self, batch: Batch, day: date, is_first: bool) -> Iterator[Part]:
        for extract in batch.extracts:
            herbs = herbs_of(batch, extract.made)
            name = herb_key(herbs)
            view = extract_view(batch, extract, self._practice, day)
            stock = self._stock.get(name)
            if stock is None:
                stock = self._stock[name] = HerbStock(tuple(replace(one, form="") for one in herbs))
            if is_first:
                stock.then = (*stock.then, view)
            every: tuple[ExtractView | BottleView, ...] = (view, *view.bottles)
            for one in every:
                if one.volume_ml >= DROP_ML:
                    yield Part(name, one.volume_ml, one.good_through, one.hold is not None)

    def _until(self, seen: tuple[Batch, date, list[Part]] | None, day: date | None) -> None:
        """Parts that stood there from one day to another, and went past their date meanwhile."""
        if seen is None:
            return
        _, since, parts = seen
        for part in parts:
            changes = self._changes[part.herb]
            ends = day or date.max
            over = ends if part.last is None else min(max(_after(part.last), since), ends)
            fresh = Level(since, 0, part.ml) if part.is_held else Level(since, part.ml)
            _between(changes, fresh, since, over)
            _between(changes, Level(since, 0, 0, part.ml), over, ends)

    def stock(self) -> dict[str, HerbStock]:
        """The stock of each herb there ever was an extract of, by its key."""
        for batch, since, parts in self._seen.values():
            self._until((batch, since, parts), None)
            self._now(batch)
        if self._first is not None and self._last is not None:
            for name, one in self._stock.items():
                one.levels = tuple(_levels(self._changes[name], self._first, self._last))
        return self._stock

    def _now(self, batch: Batch) -> None:
        assert self._last is not None
        for extract in batch.extracts:
            stock = self._stock[herb_key(herbs_of(batch, extract.made))]
            stock.now = (*stock.now, extract_view(batch, extract, self._practice, self._last))


def _after(day: date) -> date:
    return day if day == date.max else day + _ONE_DAY


def _between(changes: dict[date, list[Level]], level: Level, first: date, end: date) -> None:
    """So much more from one day on, and as much less from another."""
    if first < end:
        changes[first].append(level)
        changes[end].append(Level(end, -level.free_ml, -level.held_ml, -level.past_ml))


def _levels(changes: dict[date, list[Level]], first: date, last: date) -> Iterator[Level]:
    """The level on the first day, on each that changed it, and on the last."""
    free = held = past = 0.0
    shown: Level | None = None
    for day in sorted({*changes, first, last}):
        if day > last:
            return
        for one in changes.get(day, ()):
            free, held, past = free + one.free_ml, held + one.held_ml, past + one.past_ml
        now = Level(day, *(0.0 if one < DROP_ML else round(one, 6) for one in (free, held, past)))
        if shown is None or day == last or replace(shown, day=day) != now:
            shown = now
            yield now


def level_on(levels: Sequence[Level], day: date) -> Level:
    """What was in stock at the end of a day."""
    found = [one for one in levels if one.day <= day]
    return found[-1] if found else Level(day)
