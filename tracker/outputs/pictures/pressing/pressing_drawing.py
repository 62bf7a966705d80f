"""What pressing gave: a ring for each jar on a line from 0 to 100 %, a line for each method."""

from collections.abc import Sequence

from tracker.outputs.pictures.drawing import LINE, MARGIN, Drawing
from tracker.outputs.pictures.heeds_drawn import draw_heeds
from tracker.outputs.pictures.legend import draw_legend
from tracker.outputs.pictures.picture_heeds import together
from tracker.outputs.pictures.pressing.pressing_shares import (
    ByMethod,
    none_counts,
    pressings_in_words,
)
from tracker.outputs.pictures.svg import Picture, picture

_TITLE = "What pressing gave, by method"
_RING, _HIGH, _MOST_RINGS = 10, 46, 5  # px of a ring and a line; rings over each other
_SIDE = 10  # px beside 0 and 100 %


def pressings_picture(
    found: Sequence[ByMethod], again: Sequence[str] = (), *, heed: str = ""
) -> Picture:
    """Every pressing as a ring on a line from 0 to 100 %, a line for each method.

    `again`: as in `none_counts`.
    """
    words = pressings_in_words(found, again)
    return picture(_TITLE, words, lambda drawing: _draw(drawing, found, again), heed=heed)


def _draw(drawing: Drawing, found: Sequence[ByMethod], again: Sequence[str]) -> None:
    drawing.words(_TITLE, "title")
    if not found:
        drawing.words(none_counts(again))
        return
    drawing.words("In % of the menstruum and herb water that were in the jar.", "quiet")
    draw_legend(
        drawing,
        (
            (lambda x, y: drawing.mark(x + 8, y + 5, "ring"), "a jar"),
            (lambda x, y: drawing.line(x + 8, y - 2, x + 8, y + 12, "middle"), "the middle one"),
        ),
    )
    for one in found:
        _method(drawing, one)
    draw_heeds(drawing, together(one.heeds for one in found).sentences)


def _method(drawing: Drawing, one: ByMethod) -> None:
    least, middle, most = one.given_pct
    jars = len(one.pressings)
    drawing.y += LINE
    drawing.words(f"{one.method}, {one.form} herb", "name")
    held = one.held_ml_per_g
    marc = "" if held is None else f"; marc held {held:.2f} ml per g"
    range_said = f"{least:.0f} to {most:.0f} %, middle {middle:.0f} %"
    drawing.words(f"{jars} jars: {range_said}{marc}" if jars > 1 else f"1 jar: {most:.0f} %{marc}")
    left, right = MARGIN + _SIDE, drawing.right - _SIDE
    base = drawing.y + _HIGH + 12
    # What was measured may come to a little more than there should have been.
    end = max(100.0, most)

    def at(share_pct: float) -> float:
        return left + share_pct / end * (right - left)

    for share in range(0, 101, 20):
        drawing.line(at(share), base - _HIGH, at(share), base, "rule")
        drawing.line(at(share), base, at(share), base + 4, "axis")
        drawing.text(at(share), base + LINE, f"{share} %", "quiet", "middle")
    drawing.line(left, base, right, base, "axis")
    drawing.line(at(middle), base - _HIGH, at(middle), base, "middle")
    _rings(drawing, [at(press.given_pct) for press in one.pressings], base)
    drawing.y = base + LINE + 6


def _rings(drawing: Drawing, places: Sequence[float], base: float) -> None:
    """Rings that would cover each other stand over each other, as far as there is room."""
    ends: list[float] = []
    for place in places:
        row = next((row for row, end in enumerate(ends) if place - end >= _RING), len(ends))
        if row == len(ends) and row >= _MOST_RINGS:
            row = min(range(_MOST_RINGS), key=ends.__getitem__)
        ends[row : row + 1] = [place]
        drawing.mark(place, base - 5 - row * (_HIGH - _RING) / (_MOST_RINGS - 1), "ring")
