"""The stock of each herb through time, what is used of it, and when it runs out."""

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from math import ceil

import msgspec

from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.extract import Extract
from tracker.core.shelf.thing import Batch
from tracker.core.values.times import LAST_YEAR, add_months
from tracker.outputs.answer_fields import Answer, iso, rounded
from tracker.outputs.terminal.table import Column, styled, table

# A herb in stock for less than this says too little about its use: a choice, no source.
LEAST_DAYS = 28
DAYS_A_MONTH = 365.25 / 12

Snapshot = tuple[date, Sequence[Batch]]


class Supply(msgspec.Struct, frozen=True):
    """One herb's stock in date, and where it goes.

    Attributes:
        herb: the plant and its part.
        points: ml in date at the end of each of these days, the last of them today.
        used_ml: dispensed over those days.
        ml_a_month: the mean use; None if the herb was in stock for too short a time.
        runs_out: the day it would be used up at that rate; None where nothing is used.
        good_through: the last good day of any of it.
    """

    herb: str
    points: tuple[tuple[date, float], ...]
    used_ml: float
    ml_a_month: float | None
    runs_out: date | None
    good_through: date | None

    @property
    def left_ml(self) -> float:
        """What is left in date today, ml."""
        return self.points[-1][1]

    @property
    def ends(self) -> str:
        """When and why there will be none, in words."""
        used = self.runs_out
        last = self.good_through
        if self.left_ml < DROP_ML:
            return "none left in date"
        if used is not None and (last is None or used <= last):
            return f"used up about {used}"
        return f"in date through {last}" if last is not None else "not known"


def days_to_look_at(today: date, months: int) -> list[date]:
    """The last day of each of the past months, and today."""
    first = today.replace(day=1)
    ends = [add_months(first, -back) - timedelta(days=1) for back in range(months - 1, -1, -1)]
    return [*ends, today]


def supplies(snapshots: Sequence[Snapshot]) -> list[Supply]:
    """Each herb that is or was in stock on any of the days, what ends first at the top.

    Args:
        snapshots: every jar and blend as it stood at the end of each day, the earliest first.
    """
    names = {_name(jar): None for _, jars in snapshots for jar in jars if jar.extracts}
    found = [_supply(name, snapshots) for name in names]
    return sorted(
        (one for one in found if any(volume >= DROP_ML for _, volume in one.points)),
        key=lambda one: (one.left_ml < DROP_ML, _end(one) or date.max, one.herb),
    )


def _end(one: Supply) -> date | None:
    return min((day for day in (one.runs_out, one.good_through) if day), default=None)


def _name(jar: Batch) -> str:
    return " ".join(part for part in (jar.herb, jar.part) if part)


def _supply(name: str, snapshots: Sequence[Snapshot]) -> Supply:
    by_day = [(day, _extracts(name, jars)) for day, jars in snapshots]
    points = tuple((day, _in_date_ml(extracts, day)) for day, extracts in by_day)
    today, now = by_day[-1]
    start, then = by_day[0]
    used_ml = max(_dispensed_ml(now) - _dispensed_ml(then), 0.0)
    begun = min((one.pressed.earliest for one in now), default=today)
    days = (today - max(start, begun)).days
    a_day = used_ml / days if days >= LEAST_DAYS else None
    left = [one for one in now if one.left_ml >= DROP_ML and one.pressed.precision != "unknown"]
    return Supply(
        name,
        points,
        used_ml,
        None if a_day is None else a_day * DAYS_A_MONTH,
        _runs_out(points[-1][1], a_day, today),
        max((one.good_through for one in left if one.good_through >= today), default=None),
    )


def _runs_out(left_ml: float, ml_a_day: float | None, today: date) -> date | None:
    if not ml_a_day or left_ml < DROP_ML:
        return None
    days = ceil(left_ml / ml_a_day)
    is_far = days > (date(LAST_YEAR, 1, 1) - today).days
    return None if is_far else today + timedelta(days=days)


def _extracts(name: str, jars: Iterable[Batch]) -> list[Extract]:
    return [extract for jar in jars if _name(jar) == name for extract in jar.extracts]


def _in_date_ml(extracts: Iterable[Extract], day: date) -> float:
    return sum(one.left_ml for one in extracts if _keeps(one, day))


def _keeps(extract: Extract, day: date) -> bool:
    return extract.pressed.precision == "unknown" or extract.good_through >= day


def _dispensed_ml(extracts: Iterable[Extract]) -> float:
    return sum(one.dispensed_ml for one in extracts)


_COLUMNS = (
    Column("HERB", least=14),
    Column("ML", right=True),
    Column("ML/MONTH", right=True),
    Column("ENDS", least=20),
    Column("THROUGH TIME"),
)


def lines(found: Sequence[Supply], *, total: int, colour: bool) -> list[str]:
    """A row for each herb; its past as one digit a month, tenths of its highest."""
    if not found:
        return []
    first, last = found[0].points[0][0], found[0].points[-1][0]
    title = f"Stock in date at each month's end, {first} to {last}"
    rows = [
        [
            one.herb,
            f"{one.left_ml:.0f}",
            "–" if one.ml_a_month is None else f"{one.ml_a_month:.0f}",
            one.ends,
            digits([volume for _, volume in one.points]),
        ]
        for one in found
    ]
    body = table(_COLUMNS, rows, total=total, colour=colour)
    return [styled(title, "bold", colour=colour), "", *body, "", *_KEY]


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
            "points": [
                {"day": day.isoformat(), "volume_ml": rounded(volume)} for day, volume in one.points
            ],
        }
        for one in found
    ]
