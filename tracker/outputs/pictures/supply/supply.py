"""The stock of each herb through time, what is given out of it, and when it runs out."""

from collections.abc import Callable, Iterable, Sequence
from datetime import date, timedelta
from math import ceil

import msgspec

from tracker.core.practice.practice import PlantNames, Practice
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.thing import extract_of
from tracker.core.values.day_words import short_day
from tracker.core.values.times import LAST_YEAR, add_months
from tracker.outputs.answer_fields import Answer, iso, rounded
from tracker.outputs.pictures.picture_heeds import Heeds, heeds_answer, heeds_of, together
from tracker.outputs.pictures.supply.stock_levels import (
    HerbStock,
    Level,
    Snapshot,
    StockWalk,
    herb_key,
)
from tracker.outputs.view.liquid import BottleView, ExtractView
from tracker.outputs.view.made import HerbView, herbs_of
from tracker.outputs.view.thing_view import view_of
from tracker.outputs.words.amount_words import ml
from tracker.outputs.words.plant_names import called_in_a_list

# A herb in stock for less than this says too little about its use: a choice, no source.
LEAST_DAYS = 28
DAYS_A_MONTH = 365.25 / 12
NO_STOCK = "There is no stock"


class Supply(msgspec.Struct, frozen=True):
    """One herb's stock in date, and where it goes.

    Attributes:
        herb: the plant and its part; of a mixture, every one.
        herbs: the same, each with its common name; whether fresh or dried makes no difference.
        levels: what was in stock on the first day, on each that changed it, and today, the last.
        used_ml: given out over those days.
        ml_a_month: the mean of that; None if the herb was in stock for too short a time.
        runs_out: the day what is on no hold would be used up; None where nothing is given out.
        good_through: the last good day of any of it; `undated_ml` is what of it has none known.
        heeds: what of it is on hold, and what the plant asks care for.
    """

    herb: str
    herbs: tuple[HerbView, ...]
    levels: tuple[Level, ...]
    used_ml: float
    ml_a_month: float | None
    runs_out: date | None
    good_through: date | None
    undated_ml: float
    heeds: Heeds

    @property
    def today(self) -> date:
        """The last of its days."""
        return self.levels[-1].day

    @property
    def now(self) -> Level:
        """What there is today."""
        return self.levels[-1]

    @property
    def is_left(self) -> bool:
        """Whether anything in date is left, on hold or not."""
        return self.now.in_date_ml >= DROP_ML

    @property
    def most_ml(self) -> float:
        """The most there was in date on any of the days."""
        return max(one.in_date_ml for one in self.levels)

    @property
    def none_since(self) -> date | None:
        """Since when there is none in date; None while there is some, or where it is longer ago."""
        if self.is_left:
            return None
        for before, after in zip(self.levels[-2::-1], self.levels[:0:-1], strict=True):
            if before.in_date_ml >= DROP_ML:
                return after.day
        return None

    @property
    def ends(self) -> str:
        """When and why there will be none, in words."""
        return self.ends_by(lambda day, _: short_day(day))

    def ends_by(self, said: Callable[[date, date], str]) -> str:
        """The same, with its day as it is said on the last of the days."""
        used, last = self.runs_out, self.good_through
        if not self.is_left:
            return f"none {self._none(said)}"
        if self.now.free_ml < DROP_ML:
            return "all of it on hold"
        if used is not None and (last is None or used <= last):
            return f"used up about {said(used, self.today)}"
        if last is None:
            return "date not known"
        return f"good through {said(last, self.today)}"

    def _none(self, said: Callable[[date, date], str]) -> str:
        what = "in date" if self.now.past_ml >= DROP_ML else "left"
        since = self.none_since
        if since is not None:
            return f"{what} since {said(since, self.today)}"
        return f"{what} since before {said(self.levels[0].day, self.today)}"

    @property
    def apart(self) -> list[str]:
        """What of it must not be given out, or not be trusted, in words."""
        held = [f"{ml(self.now.held_ml)} on hold"] if self.now.held_ml >= DROP_ML else []
        past = [f"{ml(self.now.past_ml)} past its date"] if self.now.past_ml >= DROP_ML else []
        is_some = self.undated_ml >= DROP_ML and self.good_through is not None
        undated = [f"{ml(self.undated_ml)} of no known date"] if is_some else []
        return [*held, *past, *undated]

    @property
    def free(self) -> str:
        """What of it may be given out, in words."""
        return f"{ml(self.now.free_ml)} of it" if self.now.free_ml >= DROP_ML else "none of it"


def first_day(today: date, months: int) -> date:
    """The last day of the month that many months before this one."""
    return add_months(today.replace(day=1), 1 - months) - timedelta(days=1)


def month_ends(first: date, today: date) -> list[date]:
    """The last day of each month from the first day on, and today."""
    days = []
    while first < today:
        days.append(first)
        first = add_months(first.replace(day=1), 2) - timedelta(days=1)
    return [*days, today]


def supplies(
    snapshots: Iterable[Snapshot],
    practice: Practice,
    names: PlantNames = "common",
    not_held: Sequence[Flag] = (),
) -> list[Supply]:
    """Each herb there ever was an extract of: what ends first at the top, what is gone last.

    Args:
        snapshots: every jar and blend at the end of the first and the last day, and of each day
            between on which any changed, the earliest first.
        practice: the rules in force.
        names: what plants go by, which those that are gone stand in the order of.
        not_held: what holds some of a recalled lot and is on no hold.
    """
    walk, now = StockWalk(practice), None
    for now in snapshots:
        walk.take(*now)
    stock = walk.stock()
    heeds = {} if now is None else _heeds(now, practice, not_held)
    found = [_supply(name, one, heeds.get(name, Heeds())) for name, one in stock.items()]
    return sorted(
        found,
        key=lambda one: (
            not one.is_left,
            _end(one) or date.max if one.is_left else date.min,
            called_in_a_list(one.herbs, names).lower(),
            one.herb,
        ),
    )


def _heeds(snapshot: Snapshot, practice: Practice, not_held: Sequence[Flag]) -> dict[str, Heeds]:
    """What to heed of each herb of which anything is left."""
    today, batches = snapshot
    found: dict[str, Heeds] = {}
    for batch, extract in ((one, extract) for one in batches for extract in one.extracts):
        if extract.left_ml >= DROP_ML:
            name = herb_key(herbs_of(batch, extract.made))
            seen = heeds_of([view_of(extract_of(batch, extract), practice, today, flags=not_held)])
            found[name] = together([found.get(name, Heeds()), seen])
    return found


def _end(one: Supply) -> date | None:
    return min((day for day in (one.runs_out, one.good_through) if day), default=None)


def _supply(name: str, stock: HerbStock, heeds: Heeds) -> Supply:
    start, today = stock.levels[0].day, stock.levels[-1].day
    used_ml = max(_dispensed_ml(stock.now) - _dispensed_ml(stock.then), 0.0)
    begun = min((one.pressed.earliest for one in stock.now), default=today)
    days = (today - max(start, begun)).days
    a_day = used_ml / days if days >= LEAST_DAYS else None
    parts = [one for extract in stock.now for one in _parts(extract) if one.volume_ml >= DROP_ML]
    ends = [one.good_through for one in parts if one.good_through is not None]
    return Supply(
        name,
        stock.herbs,
        stock.levels,
        used_ml,
        None if a_day is None else a_day * DAYS_A_MONTH,
        _runs_out(stock.levels[-1].free_ml, a_day, today),
        max((day for day in ends if day >= today), default=None),
        sum(one.volume_ml for one in parts if one.good_through is None),
        heeds,
    )


def _parts(extract: ExtractView) -> tuple[ExtractView | BottleView, ...]:
    """What is in bulk, and each bottle."""
    return (extract, *extract.bottles)


def _runs_out(left_ml: float, ml_a_day: float | None, today: date) -> date | None:
    if not ml_a_day or left_ml < DROP_ML:
        return None
    days = ceil(left_ml / ml_a_day)
    is_far = days > (date(LAST_YEAR, 1, 1) - today).days
    return None if is_far else today + timedelta(days=days)


def _dispensed_ml(extracts: Iterable[ExtractView]) -> float:
    return sum(one.gone.dispensed_ml for one in extracts)


def supplies_in_words(found: Sequence[Supply], names: PlantNames = "both") -> str:
    """The picture in words, for people who cannot see it."""
    words = "; ".join(supply_said(one, names) for one in found)
    heeds = together(one.heeds for one in found).sentences
    return " ".join([f"{words or NO_STOCK}.", *heeds])


def supply_said(one: Supply, names: PlantNames) -> str:
    """`sage leaf: 216 ml, good through 6 Dec 2026`, with what must not be given out."""
    left = [ml(one.now.in_date_ml)] if one.is_left else []
    return f"{called_in_a_list(one.herbs, names)}: {', '.join([*left, one.ends, *one.apart])}"


def supply_answers(found: Iterable[Supply]) -> list[Answer]:
    """The supplies as fields."""
    return [
        {
            "herb": one.herb,
            "volume_ml": rounded(one.now.in_date_ml),
            "on_hold_ml": rounded(one.now.held_ml),
            "past_ml": rounded(one.now.past_ml),
            "none_since": iso(one.none_since),
            "used_ml": rounded(one.used_ml),
            "ml_a_month": rounded(one.ml_a_month, 1),
            "undated_ml": rounded(one.undated_ml),
            "runs_out": iso(one.runs_out),
            "good_through": iso(one.good_through),
            **heeds_answer(one.heeds),
            "levels": [
                {
                    "day": level.day.isoformat(),
                    "volume_ml": rounded(level.in_date_ml),
                    "on_hold_ml": rounded(level.held_ml),
                    "past_ml": rounded(level.past_ml),
                }
                for level in one.levels
            ],
        }
        for one in found
    ]
