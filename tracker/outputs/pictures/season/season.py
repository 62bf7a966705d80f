"""What becomes ready and what expires, month by month."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from itertools import pairwise
from typing import Literal

import msgspec

from tracker.core.practice.practice import Way
from tracker.core.shelf.contents import DROP_ML
from tracker.core.values.month_names import month_name
from tracker.core.values.times import add_months
from tracker.outputs.answer_fields import Answer, rounded
from tracker.outputs.pictures.picture_heeds import Heeds, heeds_answer, heeds_of
from tracker.outputs.view.liquid import ExtractView, HoldView
from tracker.outputs.view.made import HerbView
from tracker.outputs.view.thing_view import ThingView
from tracker.outputs.words.holds import hold_name
from tracker.outputs.words.plant_names import herbs_named
from tracker.outputs.words.ways_of_making import pressed_word

Falling = Literal["ready", "longest", "expires"]
FALLINGS: tuple[Falling, ...] = ("ready", "longest", "expires")
WORDS: dict[Falling, str] = {
    "ready": "may be pressed from",
    "longest": "longest time on the herb ends",
    "expires": "last good day",
}
# The same of what is on hold: it may neither be pressed nor given out.
HELD_WORDS: dict[Falling, str] = {
    "ready": "least time ends",
    "longest": "longest time on the herb ends",
    "expires": "last good day",
}

# What one does, and what several do.
_DO: dict[Falling, tuple[str, str]] = {
    "ready": ("becomes ready", "become ready"),
    "longest": ("reaches its longest", "reach their longest"),
    "expires": ("expires", "expire"),
}


class Fall(msgspec.Struct, frozen=True):
    """One thing that falls on a day: which kind, of what, and how much is left of it.

    Attributes:
        way: how what may be pressed was made; a percolate is collected.
        hold: what keeps it from being pressed or given out.
    """

    day: date
    what: Falling
    code: str
    herbs: tuple[HerbView, ...]
    left_ml: float | None = None
    way: Way | None = None
    hold: HoldView | None = None

    @property
    def herb(self) -> str:
        """Every herb of it by its full name."""
        return herbs_named(self.herbs)

    @property
    def said(self) -> str:
        """What falls, in words: of what is on hold that it is, first."""
        if self.hold is not None:
            return f"{hold_name(self.hold)}; {HELD_WORDS[self.what]}"
        if self.what == "ready":
            return f"may be {pressed_word(self.way)}"
        return WORDS[self.what]


class Month(msgspec.Struct, frozen=True):
    """A month and what falls in it, the earliest first."""

    first: date
    falls: tuple[Fall, ...]

    @property
    def name(self) -> str:
        """`Mar 2026`."""
        return f"{month_name(self.first)} {self.first.year}"


class Season(msgspec.Struct, frozen=True):
    """The months from this one on, and what fell or falls outside them."""

    today: date
    before: tuple[Fall, ...]
    months: tuple[Month, ...]
    later: tuple[Fall, ...]
    heeds: Heeds = Heeds()

    @property
    def in_words(self) -> str:
        """The picture in words, for people who cannot see it."""
        said = [f"before {self.months[0].name}: {_counted(self.before)}"] if self.before else []
        said += [f"{one.name}: {_counted(one.falls)}" for one in self.months if one.falls]
        said += [f"later: {_counted(self.later)}"] if self.later else []
        all_falls = "; ".join(said) + "." if said else "Nothing becomes ready and nothing expires."
        return " ".join([all_falls, *self.heeds.sentences])


def count(falls: Iterable[Fall], what: Falling) -> int:
    """How many of a kind there are that are on no hold."""
    return sum(1 for one in falls if one.what == what and one.hold is None)


def count_held(falls: Iterable[Fall]) -> int:
    """How many are on hold, of whichever kind."""
    return sum(1 for one in falls if one.hold is not None)


def _counted(falls: Sequence[Fall]) -> str:
    counts = [
        (number, _DO[kind][number > 1]) for kind in FALLINGS if (number := count(falls, kind))
    ]
    held = count_held(falls)
    said = [f"{number} {words}" for number, words in counts]
    return ", ".join([*said, *([f"{held} on hold"] if held else [])])


def season(views: Sequence[ThingView], today: date, *, months: int = 12) -> Season:
    """What falls in each of the months from this one on.

    Args:
        views: the jars and blends of the shelf.
        today: the maker's day.
        months: how many, 1 to 24.
    """
    first = today.replace(day=1)
    starts = [add_months(first, number) for number in range(months + 1)]
    falls = sorted(_falls(views), key=lambda one: (one.day, FALLINGS.index(one.what), one.code))
    return Season(
        today,
        tuple(one for one in falls if one.day < first),
        tuple(
            Month(start, tuple(one for one in falls if start <= one.day < end))
            for start, end in pairwise(starts)
        ),
        tuple(one for one in falls if one.day >= starts[-1]),
        heeds_of(views),
    )


def _falls(views: Iterable[ThingView]) -> Iterator[Fall]:
    for view in views:
        row, herbs = view.row, view.row.herbs
        if row.is_macerating and row.press_from is not None:
            yield Fall(row.press_from, "ready", row.code, herbs, way=row.steep_way, hold=row.hold)
        if row.is_macerating and row.longest is not None:
            yield Fall(row.longest, "longest", row.code, herbs, hold=row.hold)
        for extract in view.extracts:
            yield from _expiring(extract, herbs)


def _expiring(extract: ExtractView, herbs: tuple[HerbView, ...]) -> Iterator[Fall]:
    """An extract on its last good day, and each bottle with another one or a hold of its own."""
    own = [
        one
        for one in extract.bottles
        if one.volume_ml >= DROP_ML
        and (one in extract.dated_apart or (one.hold is None) != (extract.hold is None))
    ]
    left_ml = extract.left_ml - sum(one.volume_ml for one in own)
    last = extract.good_through
    if left_ml >= DROP_ML and last is not None:
        yield Fall(last, "expires", extract.code, herbs, left_ml, hold=extract.hold)
    for one in own:
        if one.good_through is not None:
            yield Fall(one.good_through, "expires", one.code, herbs, one.volume_ml, hold=one.hold)


def season_answer(found: Season) -> Answer:
    """The season as fields."""
    return {
        "today": found.today.isoformat(),
        "before": [_answer(one) for one in found.before],
        "months": [
            {"month": f"{one.first:%Y-%m}", "falls": [_answer(fall) for fall in one.falls]}
            for one in found.months
        ],
        "later": [_answer(one) for one in found.later],
        **heeds_answer(found.heeds),
    }


def _answer(one: Fall) -> Answer:
    return {
        "day": one.day.isoformat(),
        "what": one.what,
        "code": one.code,
        "herb": one.herb,
        "volume_ml": rounded(one.left_ml),
        "on_hold": one.hold is not None,
        "recalled": one.hold is not None and one.hold.kind == "recall",
    }
