"""Days along a line: where each stands, and what is written under it."""

from datetime import date
from itertools import pairwise

import msgspec

from tracker.core.values.day_words import short_day
from tracker.core.values.month_names import month_name
from tracker.outputs.pictures.drawing import LINE, Drawing, text_width
from tracker.outputs.pictures.months import STEPS, month_starts

_GAP = 8  # px between two labels
_BESIDE = 8  # px that a label may stand out at the left


class TimeAxis(msgspec.Struct, frozen=True):
    """Days from the first to the last, between two edges in px."""

    first: date
    last: date
    left: float
    right: float

    def at(self, day: date) -> float:
        """Where a day stands; what lies outside stands at the edge."""
        days = max((self.last - self.first).days, 1)
        share = min(max((day - self.first).days / days, 0.0), 1.0)
        return self.left + share * (self.right - self.left)

    def draw(self, drawing: Drawing, y: float) -> None:
        """The line with its months or years under it; its first and last day if none fits."""
        drawing.line(self.left, y, self.right, y, "axis")
        for place, label, end in self._labels():
            drawing.line(place, y, place, y + 4, "axis")
            drawing.text(place, y + LINE, label, "quiet", end)

    def _labels(self) -> list[tuple[float, str, str]]:
        for step in STEPS:
            days = list(month_starts(self.first, self.last, step))
            if len(days) < 2:
                break
            labels = [_label(day, step, is_first=day == days[0]) for day in days]
            found = self._kept([(self.at(day), one) for day, one in zip(days, labels, strict=True)])
            if found is not None:
                return found
        if self.first == self.last:
            return [(self.left, short_day(self.first), "")]
        return [(self.left, short_day(self.first), ""), (self.right, short_day(self.last), "end")]

    def _kept(self, labels: list[tuple[float, str]]) -> list[tuple[float, str, str]] | None:
        """The labels about their places, if they keep apart; one that sticks out ends there."""
        found = []
        for place, label in labels:
            half = text_width(label) / 2
            if place - half < self.left - _BESIDE:
                found.append((self.left - _BESIDE, label, "", self.left - _BESIDE))
            elif place + half > self.right + 4:
                found.append((self.right + 4, label, "end", self.right + 4 - 2 * half))
            else:
                found.append((place, label, "middle", place - half))
        starts = [(start, start + text_width(label)) for _, label, _, start in found]
        if any(after[0] - before[1] < _GAP for before, after in pairwise(starts)):
            return None
        return [(place, label, end) for place, label, end, _ in found]


def _label(day: date, step: int, *, is_first: bool) -> str:
    """A month, the first of them and each January with the year; or a year alone."""
    if step % 12 == 0:
        return f"{day.year}"
    return f"{month_name(day)} {day.year}" if is_first or day.month == 1 else month_name(day)
