"""A jar's life as lanes through time: letters above, herb and each liquid below, then in words."""

from collections.abc import Sequence

from tracker.outputs.pictures.drawing import LINE, MARGIN, Drawing, text_width
from tracker.outputs.pictures.heeds_drawn import draw_heeds
from tracker.outputs.pictures.life.ascii_life import legend_rows
from tracker.outputs.pictures.life.jar_life import Life
from tracker.outputs.pictures.life.life_spans import Span, What, jar_spans, liquid_spans
from tracker.outputs.pictures.life.moments import LETTERS, stacked
from tracker.outputs.pictures.svg import Picture, picture
from tracker.outputs.pictures.time_axis import TimeAxis
from tracker.outputs.words.plant_names import plants_named

_HIGH = 12  # px of a lane
_LETTER = 15  # px of a letter with room beside it
_BARS: dict[What, str] = {
    "within": "within-bar",
    "herb": "herb-bar",
    "extract": "extract-bar",
    "held": "held-bar",
    "past": "past-bar",
}
_SAID: dict[What, str] = {
    "within": "begun within",
    "past": "past its date",
    "held": "on hold",
    "come": "to come",
}


def life_picture(life: Life, *, heed: str = "") -> Picture:
    """A jar's life through time."""
    title = f"The life of {life.code}, {life.name}"
    return picture(title, life.in_words, lambda drawing: _draw(drawing, life), heed=heed)


def _draw(drawing: Drawing, life: Life) -> None:
    drawing.words(life.name, "title")
    latin = plants_named(life.herbs)
    drawing.y += LINE + 2
    drawing.text(MARGIN, drawing.y, life.code, "strong")
    if len({one.herb for one in life.herbs}) == 1 and latin.lower() not in life.name.lower():
        drawing.latin(MARGIN + text_width(life.code) + 16, drawing.y, latin, kind="quiet")
    axis = TimeAxis(life.first, life.last, MARGIN + 4, drawing.right - 4)
    top = _letters(drawing, life, axis)
    jar = jar_spans(life)
    if jar:
        _lane(drawing, _lane_said("herb in the jar", jar), jar, axis)
        _ticks(drawing, life, "shaken", axis)
    for liquid, spans in zip(life.liquids, liquid_spans(life), strict=True):
        _lane(drawing, _lane_said(liquid.code, spans), spans, axis)
    _ticks(drawing, life, "dispensed", axis)
    drawing.y += 8
    drawing.line(axis.at(life.today), top, axis.at(life.today), drawing.y, "today")
    axis.draw(drawing, drawing.y)
    drawing.y += LINE + 8
    _words(drawing, life)
    draw_heeds(drawing, life.heeds)


def _lane_said(of: str, spans: Sequence[Span]) -> str:
    """What a lane is of, with a word for each way it is drawn."""
    words = dict.fromkeys(_SAID[one.what] for one in spans if one.what in ("held", "past"))
    return ", ".join([of, *words])


def _letters(drawing: Drawing, life: Life, axis: TimeAxis) -> float:
    """The letters over their days, those that would cover each other in rows above."""
    marks = [one for one in life.moments if one.kind in LETTERS and one.kind != "today"]
    places = [axis.at(one.first) for one in marks]
    rows = stacked(places, _LETTER)
    top = drawing.y + LINE + 6
    base = top + LINE * (max(rows) + 1)
    for one, place, row in zip(marks, places, rows, strict=True):
        y = base - row * LINE
        drawing.line(place, y + 3, place, base + 8, "rule")
        kind = "heed strong" if one.kind == "held" else "strong"
        drawing.text(place, y, LETTERS[one.kind], kind, "middle")
    half = text_width("today") / 2
    at = min(max(axis.at(life.today), axis.left + half), axis.right - half)
    drawing.text(at, top, "today", "strong", "middle")
    drawing.y = base + 2
    return top + 4


def _lane(drawing: Drawing, said: str, spans: Sequence[Span], axis: TimeAxis) -> None:
    """A lane with its words above it."""
    drawing.y += LINE + 4
    is_held = any(one.what == "held" for one in spans)
    drawing.text(axis.left, drawing.y, said, "heed strong" if is_held else "")
    top = drawing.y + 5
    for one in spans:
        first, last = axis.at(one.first), axis.at(one.last)
        if one.what == "come":
            drawing.line(first, top + _HIGH / 2, last, top + _HIGH / 2, "come")
        else:
            drawing.box(first, top, max(last - first, 2), _HIGH, _BARS[one.what])
    drawing.y = top + _HIGH


def _ticks(drawing: Drawing, life: Life, kind: str, axis: TimeAxis) -> None:
    """A tick for each, and what they are."""
    found = [one for one in life.moments if one.kind == kind]
    if not found:
        return
    drawing.y += 4
    places = dict.fromkeys(round(axis.at(one.first), 1) for one in found)
    drawing.path("".join(f"M{place:g} {drawing.y:g}v7" for place in places), "tick")
    drawing.y += 8


def _words(drawing: Drawing, life: Life) -> None:
    """Each letter with its day and the whole of what it says."""
    rows = list(legend_rows(life))
    days = min(max(text_width(day) for _, day, _ in rows), 210 if drawing.is_wide else 108)
    left = MARGIN + 20
    for mark, day, said in rows:
        drawing.y += LINE + 1
        drawing.text(MARGIN, drawing.y, mark, "strong")
        below = drawing.row(left, left + days + 4, drawing.y, day, "quiet")
        drawing.y = max(below, drawing.row(left + days + 12, drawing.right, drawing.y, said))
