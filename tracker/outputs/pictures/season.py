"""What becomes ready and what expires, month by month."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from itertools import pairwise
from typing import Literal

import msgspec
from msgspec.structs import replace

from tracker.core.practice.practice import PlantNames
from tracker.core.shelf.contents import DROP_ML
from tracker.core.values.day_words import short_day
from tracker.core.values.month_names import month_name
from tracker.core.values.text import shown
from tracker.core.values.times import add_months
from tracker.outputs.answer_fields import Answer, rounded
from tracker.outputs.pictures.picture_heeds import Heeds, heed_lines, heeds_of
from tracker.outputs.terminal.name_column import listed
from tracker.outputs.terminal.table import Cell, Column, styled, table
from tracker.outputs.view.liquid import ExtractView
from tracker.outputs.view.made import HerbView
from tracker.outputs.view.thing_view import ThingView
from tracker.outputs.words.plant_names import herbs_named

Falling = Literal["ready", "longest", "expires"]
FALLINGS: tuple[Falling, ...] = ("ready", "longest", "expires")
WORDS: dict[Falling, str] = {
    "ready": "may be pressed from",
    "longest": "longest time on the herb ends",
    "expires": "last good day",
}

# What one does, and what several do.
_DO: dict[Falling, tuple[str, str]] = {
    "ready": ("becomes ready", "become ready"),
    "longest": ("reaches its longest", "reach their longest"),
    "expires": ("expires", "expire"),
}
_STYLE = {"ready": "good", "longest": "bad", "expires": "warn"}
_NAME = Column("", least=14)
_ROWS = (
    Column("MONTH"),
    Column("DAY", right=True),
    _NAME,
    Column("CODE"),
    Column("WHAT"),
    Column("ML", right=True),
)


class Fall(msgspec.Struct, frozen=True):
    """One thing that falls on a day: which kind, of what, and how much is left of it."""

    day: date
    what: Falling
    code: str
    herbs: tuple[HerbView, ...]
    left_ml: float | None = None
    on_hold: bool = False

    @property
    def herb(self) -> str:
        """Every herb of it by its full name."""
        return herbs_named(self.herbs)


class Month(msgspec.Struct, frozen=True):
    """A month and what falls in it, the earliest first."""

    first: date
    falls: tuple[Fall, ...]

    def count(self, what: Falling) -> int:
        """How many of a kind fall in it."""
        return sum(1 for one in self.falls if one.what == what)

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


def _counted(falls: Iterable[Fall]) -> str:
    kinds = [one.what for one in falls]
    counts = {kind: kinds.count(kind) for kind in FALLINGS if kind in kinds}
    return ", ".join(f"{count} {_DO[kind][count > 1]}" for kind, count in counts.items())


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
        held = row.hold is not None
        if row.is_macerating and row.press_from is not None:
            yield Fall(row.press_from, "ready", row.code, herbs, on_hold=held)
            if row.longest is not None:
                yield Fall(row.longest, "longest", row.code, herbs, on_hold=held)
        for extract in view.extracts:
            yield from _expiring(extract, herbs)


def _expiring(extract: ExtractView, herbs: tuple[HerbView, ...]) -> Iterator[Fall]:
    """An extract on its last good day, and each bottle that has another one on its own."""
    own = extract.dated_apart
    left_ml = extract.left_ml - sum(one.volume_ml for one in own)
    last, held = extract.good_through, extract.hold is not None
    if left_ml >= DROP_ML and last is not None:
        yield Fall(last, "expires", extract.code, herbs, left_ml, on_hold=held)
    for one in own:
        if one.good_through is not None:
            held = one.hold is not None
            yield Fall(one.good_through, "expires", one.code, herbs, one.volume_ml, on_hold=held)


def lines(found: Season, names: PlantNames, *, total: int, colour: bool) -> list[str]:
    """The months side by side with how many fall in each, then every one by its day."""
    until = found.months[-1].name
    title = (
        f"What becomes ready and what expires, through {until}; today is {short_day(found.today)}"
    )
    rows, falls = list(_rows(found)), [fall for _, falls in _groups(found) for fall in falls]
    called = listed([one.herbs for one in falls], names)
    columns = [replace(one, within=called.within) if one is _NAME else one for one in _ROWS]
    for row, name in zip(rows, called.full(), strict=True):
        row[_ROWS.index(_NAME)] = name
    body = table(columns, rows, total=total, colour=colour)
    heeds = [shown(one) for one in found.heeds.sentences]
    return [
        styled(title, "bold", colour=colour),
        "",
        *(line for part in _side_by_side(found, colour) for line in part),
        *(body if len(body) > 1 else ["Nothing becomes ready and nothing expires."]),
        *(["", *heed_lines(heeds, total)] if heeds else []),
    ]


def _side_by_side(found: Season, colour: bool) -> Iterator[list[str]]:
    """Twelve months to a strip, so that two years line up."""
    for start in range(0, len(found.months), 12):
        part = found.months[start : start + 12]
        is_last = start + 12 >= len(found.months)
        outside = (found.before if start == 0 else (), found.later if is_last else ())
        yield [*_strip(part, outside, colour), ""]


def _strip(
    months: Sequence[Month], outside: tuple[Sequence[Fall], Sequence[Fall]], colour: bool
) -> Iterator[str]:
    years = "".join(
        f"{one.first:%Y}" if place == 0 or one.first.month == 1 else "    "
        for place, one in enumerate(months)
    )
    names = "".join(f"{month_name(one.first):>4}" for one in months)
    yield styled(" " * 16 + years.rstrip(), "faint", colour=colour)
    yield styled(f"{'':<8}{'before':>7}{names}{'later':>7}", "faint", colour=colour)
    for what in FALLINGS:
        counts = "".join(f"{one.count(what) or '.':>4}" for one in months)
        before, after = (sum(one.what == what for one in falls) or "." for falls in outside)
        yield f"{what:<8}{before:>7}{counts}{after:>7}"


def _groups(found: Season) -> list[tuple[str, tuple[Fall, ...]]]:
    months = [
        (f"{month_name(one.first)} {one.first.year % 100:02d}", one.falls) for one in found.months
    ]
    return [("before", found.before), *months, ("later", found.later)]


def _rows(found: Season) -> Iterator[list[str | Cell]]:
    for name, falls in _groups(found):
        for number, one in enumerate(falls):
            yield [
                name if number == 0 else "",
                f"{one.day.day}" if name not in ("before", "later") else _in_full(one.day),
                "",
                one.code,
                Cell(one.what, _STYLE[one.what]),
                "" if one.left_ml is None else f"{one.left_ml:.0f}",
            ]


def _in_full(day: date) -> str:
    return f"{short_day(day, day.year)} {day.year % 100:02d}"


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
        "recalled": list(found.heeds.recalled),
        "on_hold": list(found.heeds.on_hold),
        "cautions": list(found.heeds.cautions),
    }


def _answer(one: Fall) -> Answer:
    return {
        "day": one.day.isoformat(),
        "what": one.what,
        "code": one.code,
        "herb": one.herb,
        "volume_ml": rounded(one.left_ml),
        "on_hold": one.on_hold,
    }
