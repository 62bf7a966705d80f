"""The stock of each herb through time, what is used of it, and when it runs out."""

from collections.abc import Callable, Iterable, Sequence
from datetime import date, timedelta
from math import ceil

import msgspec
from msgspec.structs import replace

from tracker.core.practice.practice import PlantNames, Practice
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.thing import Batch, extract_of
from tracker.core.values.day_words import short_day
from tracker.core.values.text import shown
from tracker.core.values.times import LAST_YEAR, add_months
from tracker.outputs.answer_fields import Answer, iso, rounded
from tracker.outputs.pictures.picture_heeds import Heeds, heed_lines, heeds_of, together
from tracker.outputs.terminal.name_column import listed
from tracker.outputs.terminal.table import Column, Row, styled, table
from tracker.outputs.view.liquid import BottleView, ExtractView, extract_view
from tracker.outputs.view.made import HerbView, herbs_of
from tracker.outputs.view.thing_view import view_of
from tracker.outputs.words.row_dates import day_in_row

# A herb in stock for less than this says too little about its use: a choice, no source.
LEAST_DAYS = 28
DAYS_A_MONTH = 365.25 / 12

Snapshot = tuple[date, Sequence[Batch]]


class Supply(msgspec.Struct, frozen=True):
    """One herb's stock in date, and where it goes.

    Attributes:
        herb: the plant and its part; of a mixture, every one.
        herbs: the same, each with its common name; whether fresh or dried makes no difference.
        points: ml in date at the end of each of these days, the last of them today.
        used_ml: dispensed over those days.
        ml_a_month: the mean use; None if the herb was in stock for too short a time.
        runs_out: the day it would be used up at that rate; None where nothing is used.
        good_through: the last good day of any of it.
        heeds: what of it is on hold, and what the plant asks care for.
    """

    herb: str
    herbs: tuple[HerbView, ...]
    points: tuple[tuple[date, float], ...]
    used_ml: float
    ml_a_month: float | None
    runs_out: date | None
    good_through: date | None
    heeds: Heeds

    @property
    def left_ml(self) -> float:
        """What is left in date today, ml."""
        return self.points[-1][1]

    @property
    def ends(self) -> str:
        """When and why there will be none, in words."""
        return self.ends_by(lambda day, _: short_day(day))

    def ends_by(self, said: Callable[[date, date], str]) -> str:
        """The same, with its day as it is said on the last of the points."""
        used, last, today = self.runs_out, self.good_through, self.points[-1][0]
        if self.left_ml < DROP_ML:
            return "none left in date"
        if used is not None and (last is None or used <= last):
            return f"used up about {said(used, today)}"
        return f"in date through {said(last, today)}" if last is not None else "not known"


def days_to_look_at(today: date, months: int) -> list[date]:
    """The last day of each of the past months, and today."""
    first = today.replace(day=1)
    ends = [add_months(first, -back) - timedelta(days=1) for back in range(months - 1, -1, -1)]
    return [*ends, today]


def supplies(snapshots: Iterable[Snapshot], practice: Practice) -> list[Supply]:
    """Each herb that is or was in stock on any of the days, what ends first at the top.

    Args:
        snapshots: every jar and blend as it stood at the end of each day, the earliest first;
            each is let go of before the next is taken.
        practice: the rules in force.
    """
    by_day, now = [], None
    herbs: dict[str, tuple[HerbView, ...]] = {}
    for now in snapshots:
        by_day.append((now[0], _by_herb(now[1], practice, now[0], herbs)))
    heeds = {} if now is None else _heeds(now, practice)
    names = {name: None for _, extracts in by_day for name in extracts}
    found = [
        _supply(
            name,
            herbs[name],
            [(day, some.get(name, [])) for day, some in by_day],
            heeds.get(name, Heeds()),
        )
        for name in names
    ]
    return sorted(
        (one for one in found if any(volume >= DROP_ML for _, volume in one.points)),
        key=lambda one: (one.left_ml < DROP_ML, _end(one) or date.max, one.herb),
    )


def _by_herb(
    batches: Iterable[Batch],
    practice: Practice,
    day: date,
    herbs: dict[str, tuple[HerbView, ...]],
) -> dict[str, list[ExtractView]]:
    """The extracts of each herb as they stood on a day; `herbs` learns what each is made of."""
    found: dict[str, list[ExtractView]] = {}
    for batch in batches:
        for extract in batch.extracts:
            views = herbs_of(batch, extract.made)
            name = _name(views)
            herbs[name] = tuple(replace(one, form="") for one in views)
            found.setdefault(name, []).append(extract_view(batch, extract, practice, day))
    return found


def _of(
    name: str, by_day: Sequence[tuple[date, dict[str, list[ExtractView]]]]
) -> list[tuple[date, list[ExtractView]]]:
    return [(day, some.get(name, [])) for day, some in by_day]


def _heeds(snapshot: Snapshot, practice: Practice) -> dict[str, Heeds]:
    """What to heed of each herb of which anything is left."""
    today, batches = snapshot
    found: dict[str, Heeds] = {}
    for batch in batches:
        for extract in batch.extracts:
            if extract.left_ml < DROP_ML:
                continue
            name = _name(herbs_of(batch, extract.made))
            seen = heeds_of([view_of(extract_of(batch, extract), practice, today)])
            found[name] = together([found.get(name, Heeds()), seen])
    return found


def _end(one: Supply) -> date | None:
    return min((day for day in (one.runs_out, one.good_through) if day), default=None)


def _name(herbs: Iterable[HerbView]) -> str:
    """The same of every extract of the same plants, whichever there is more of."""
    plants = {f"{one.herb} {one.part}" if one.part else one.herb for one in herbs}
    return " + ".join(sorted(plants))


def _supply(
    name: str,
    herbs: tuple[HerbView, ...],
    by_day: Sequence[tuple[date, Sequence[ExtractView]]],
    heeds: Heeds,
) -> Supply:
    points = tuple((day, _in_date_ml(extracts, day)) for day, extracts in by_day)
    today, now = by_day[-1]
    start, then = by_day[0]
    used_ml = max(_dispensed_ml(now) - _dispensed_ml(then), 0.0)
    begun = min((one.pressed.earliest for one in now), default=today)
    days = (today - max(start, begun)).days
    a_day = used_ml / days if days >= LEAST_DAYS else None
    ends = [day for one in now for day, left_ml in _dated(one) if day and left_ml >= DROP_ML]
    return Supply(
        name,
        herbs,
        points,
        used_ml,
        None if a_day is None else a_day * DAYS_A_MONTH,
        _runs_out(points[-1][1], a_day, today),
        max((day for day in ends if day >= today), default=None),
        heeds,
    )


def _runs_out(left_ml: float, ml_a_day: float | None, today: date) -> date | None:
    if not ml_a_day or left_ml < DROP_ML:
        return None
    days = ceil(left_ml / ml_a_day)
    is_far = days > (date(LAST_YEAR, 1, 1) - today).days
    return None if is_far else today + timedelta(days=days)


def _dated(extract: ExtractView) -> list[tuple[date | None, float]]:
    """The last good day of the bulk and of each bottle, with what is left of it."""
    parts: tuple[ExtractView | BottleView, ...] = (extract, *extract.bottles)
    return [(one.good_through, one.volume_ml) for one in parts]


def _in_date_ml(extracts: Iterable[ExtractView], day: date) -> float:
    return sum(
        left_ml for one in extracts for last, left_ml in _dated(one) if last is None or last >= day
    )


def _dispensed_ml(extracts: Iterable[ExtractView]) -> float:
    return sum(one.gone.dispensed_ml for one in extracts)


_COLUMNS = (
    Column("ML", right=True),
    Column("ML/MONTH", right=True),
    Column("ENDS"),
    Column("THROUGH TIME"),
)


def lines(found: Sequence[Supply], names: PlantNames, *, total: int, colour: bool) -> list[str]:
    """A row for each herb; its past as one digit a month, tenths of its highest."""
    if not found:
        return []
    first, last = found[0].points[0][0], found[0].points[-1][0]
    title = f"Stock in date at each month's end, {short_day(first)} to {short_day(last)}"
    called = listed([one.herbs for one in found], names)
    rows: list[Row] = [
        [
            name,
            f"{one.left_ml:.0f}",
            "–" if one.ml_a_month is None else f"{one.ml_a_month:.0f}",
            one.ends_by(day_in_row),
            digits([volume for _, volume in one.points]),
        ]
        for name, one in zip(called.full(), found, strict=True)
    ]
    columns = (Column("", least=14, within=called.within), *_COLUMNS)
    body = table(columns, rows, total=total, colour=colour)
    heeds = [shown(one) for one in together(one.heeds for one in found).sentences]
    more = ["", *heed_lines(heeds, total)] if heeds else []
    return [styled(title, "bold", colour=colour), "", *body, "", *_KEY, *more]


_KEY = (
    "THROUGH TIME has one digit a month, the last is today: 9 is the herb's highest,",
    "a dot is none. Use goes on as it was: a mean, and no promise.",
)


def digits(volumes: Sequence[float]) -> str:
    """`..9753`: each volume in ninths of the highest, a dot where there is none."""
    most = max(volumes, default=0.0)
    return "".join(
        "." if volume < DROP_ML else str(max(round(volume / most * 9), 1)) for volume in volumes
    )


def supplies_in_words(found: Sequence[Supply]) -> str:
    """The picture in words, for people who cannot see it."""
    words = "; ".join(f"{one.herb}: {one.left_ml:.0f} ml, {one.ends}" for one in found)
    heeds = together(one.heeds for one in found).sentences
    return " ".join([f"{words or 'There is no stock'}.", *heeds])


def supply_answers(found: Iterable[Supply]) -> list[Answer]:
    """The supplies as fields."""
    return [
        {
            "herb": one.herb,
            "volume_ml": rounded(one.left_ml),
            "used_ml": rounded(one.used_ml),
            "ml_a_month": rounded(one.ml_a_month, 1),
            "runs_out": iso(one.runs_out),
            "good_through": iso(one.good_through),
            "recalled": list(one.heeds.recalled),
            "on_hold": list(one.heeds.on_hold),
            "cautions": list(one.heeds.cautions),
            "points": [
                {"day": day.isoformat(), "volume_ml": rounded(volume)} for day, volume in one.points
            ],
        }
        for one in found
    ]
