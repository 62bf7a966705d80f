"""The stock of each herb as steps through time, a strip each, with a scale of its own."""

from collections.abc import Sequence
from datetime import date
from math import floor, log10

from tracker.core.practice.practice import PlantNames
from tracker.core.shelf.contents import DROP_ML
from tracker.core.values.day_words import short_day
from tracker.outputs.pictures.drawing import LINE, MARGIN, NAME, Drawing, text_width
from tracker.outputs.pictures.heeds_drawn import draw_heeds
from tracker.outputs.pictures.legend import draw_legend
from tracker.outputs.pictures.picture_heeds import together
from tracker.outputs.pictures.supply.supply import NO_STOCK, Supply, supplies_in_words, supply_said
from tracker.outputs.pictures.svg import Picture, picture
from tracker.outputs.pictures.time_axis import TimeAxis
from tracker.outputs.words.amount_words import ml
from tracker.outputs.words.plant_names import called_in_a_list, plants_named

MOST_STRIPS = 60  # what is more stands below in words
_HIGH = 54  # px of a strip's scale
_SCALE = 64  # px for what is written at its left


def supply_picture(found: Sequence[Supply], names: PlantNames, *, heed: str = "") -> Picture:
    """The stock of each herb through time, a strip each, and where it is going."""
    title = "Stock in date through time"
    words = supplies_in_words(found, names)
    return picture(title, words, lambda drawing: _draw(drawing, found, names), heed=heed)


def _draw(drawing: Drawing, found: Sequence[Supply], names: PlantNames) -> None:
    drawing.words("Stock in date through time", "title")
    left = [one for one in found if one.is_left]
    if not found:
        drawing.words(f"{NO_STOCK}.")
        return
    first, today = found[0].levels[0].day, found[0].today
    drawing.words(
        f"In ml, {short_day(first)} to today, {short_day(today)}. Each herb has a scale of its own;"
        " the first to end stands at the top.",
        "quiet",
    )
    if left:
        _legend(drawing, left)
    for one in left[:MOST_STRIPS]:
        _strip(drawing, one, _axis(left, drawing, first, today), names)
    rest = [*left[MOST_STRIPS:], *(one for one in found if not one.is_left)]
    if rest:
        drawing.y += LINE
        drawing.words("None left in date" if len(left) <= MOST_STRIPS else "And also", "name")
    for one in rest:
        drawing.words(f"{supply_said(one, names)}.")
    draw_heeds(drawing, together(one.heeds for one in found).sentences)


def _legend(drawing: Drawing, found: Sequence[Supply]) -> None:
    def level(x: float, y: float) -> None:
        drawing.steps([(x, y), (x + 8, y + 4), (x + 16, y + 4)], "level", floor=y + 10)

    def held(x: float, y: float) -> None:
        drawing.box(x, y, 16, 10, "held-level")

    is_held = any(level.held_ml for one in found for level in one.levels)
    draw_legend(
        drawing,
        [
            (level, "in date"),
            *([(held, "in date, on hold")] if is_held else []),
            (lambda x, y: drawing.line(x, y + 5, x + 16, y + 5, "guess"), "if use goes on"),
            (lambda x, y: _last_day(drawing, x + 8, y - 2, y + 12), "last good day"),
            (lambda x, y: drawing.line(x + 8, y - 2, x + 8, y + 12, "today"), "today"),
        ],
    )


def _last_day(drawing: Drawing, x: float, top: float, bottom: float) -> None:
    drawing.line(x, top, x, bottom, "last")
    drawing.path(f"M{x - 4:.1f} {top:.1f}h8v5h-8Z", "mark expires")


def _axis(found: Sequence[Supply], drawing: Drawing, first: date, today: date) -> TimeAxis:
    """As far ahead as back, or less where nothing ends so late."""
    ends = [day for one in found for day in (one.good_through,) if day is not None]
    last = min(max([today, *ends]), today + (today - first))
    return TimeAxis(first, max(last, today), MARGIN + _SCALE, drawing.right)


def _strip(drawing: Drawing, one: Supply, axis: TimeAxis, names: PlantNames) -> None:
    drawing.y += LINE
    _head(drawing, one, names)
    is_free = one.now.free_ml >= DROP_ML
    said = f"{ml(one.now.in_date_ml)}, {one.ends}"
    drawing.words(said, "" if is_free else "heed strong")
    apart = one.apart if is_free else one.apart[1:]
    if apart:
        drawing.words(f"and of it {', '.join(apart)}", "heed strong")
    top = drawing.y + LINE + 8
    base, most = top + _HIGH, nice_top(one.most_ml)

    def high(volume_ml: float) -> float:
        return base - volume_ml / most * _HIGH

    for volume in (most, most / 2, 0):
        drawing.line(axis.left, high(volume), axis.right, high(volume), "rule")
        label = f"{volume:g} ml" if volume else "0"
        drawing.text(axis.left - 6, high(volume) + 4.5, label, "quiet", "end")
    _levels(drawing, one, axis, base, most)
    _to_come(drawing, one, axis, base, most)
    drawing.line(axis.at(one.today), top - 4, axis.at(one.today), base, "today")
    drawing.text(axis.at(one.today), top - 7, "today", "", "middle")
    axis.draw(drawing, base)
    drawing.y = base + LINE + 6


def _head(drawing: Drawing, one: Supply, names: PlantNames) -> None:
    called = called_in_a_list(one.herbs, names)
    drawing.words(called, "name")
    latin = plants_named(one.herbs)
    if len({herb.herb for herb in one.herbs}) > 1 or latin in called:
        return
    if text_width(called, NAME) + text_width(latin) > drawing.right - MARGIN:
        drawing.y += LINE
        drawing.latin(MARGIN, drawing.y, latin, kind="quiet")
    else:
        drawing.latin(drawing.right, drawing.y, latin, kind="quiet", end="end")


def _levels(drawing: Drawing, one: Supply, axis: TimeAxis, base: float, most: float) -> None:
    per_ml = _HIGH / most
    corners = [(axis.at(level.day), base - level.free_ml * per_ml) for level in one.levels]
    drawing.steps(corners, "level", floor=base)
    for level, after in zip(one.levels, [*one.levels[1:], one.levels[-1]], strict=True):
        if level.held_ml:
            x, top = axis.at(level.day), base - level.in_date_ml * per_ml
            wide = max(axis.at(after.day) - x, 3)
            drawing.box(x, top, wide, level.held_ml * per_ml, "held-level")


def _to_come(drawing: Drawing, one: Supply, axis: TimeAxis, base: float, most: float) -> None:
    """How it goes on if use does, till it is used up or past its date."""
    out, last = one.runs_out, one.good_through
    level, x = base - one.now.free_ml / most * _HIGH, axis.at(one.today)
    if out is not None and out > one.today:
        until = min(day for day in (out, last, axis.last) if day is not None)
        left = 1 - (until - one.today).days / (out - one.today).days
        drawing.line(x, level, axis.at(until), base - (base - level) * left, "guess")
    if last is not None and last <= axis.last:
        _last_day(drawing, axis.at(last), base - _HIGH, base)


def nice_top(most: float) -> float:
    """The least of 1, 2, 3, 4, 5, 6 and 8 of a power of ten that is no less."""
    if most <= 0:
        return 1
    power = 10.0 ** floor(log10(most))
    return next(one * power for one in (1, 2, 3, 4, 5, 6, 8, 10) if one * power >= most)
