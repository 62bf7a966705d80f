"""A jar's life as strokes in hundredths of a width: what the page draws within its text."""

from datetime import date

import msgspec

from tracker.core.values.day_words import short_day
from tracker.outputs.pictures.life.jar_life import Life
from tracker.outputs.pictures.life.life_spans import jar_spans, liquid_spans
from tracker.outputs.pictures.life.moments import LETTERS, stacked

# Letters nearer than this, in hundredths of the width, would touch on a phone.
_LEAST_GAP = 4.5
_MARGIN = 1.5


class Stroke(msgspec.Struct, frozen=True):
    """A part of the line of herb or of liquid: what it is, from where to where in %."""

    what: str
    is_liquid: bool
    start: float
    end: float


class PlacedLetter(msgspec.Struct, frozen=True):
    """A letter over the line, in % of the width, and how many rows up."""

    letter: str
    at: float
    row: int


class Strokes(msgspec.Struct, frozen=True):
    """The lines of herb and of liquid, the letters over them, and the ticks under them.

    Attributes:
        shakes, given: where each tick stands, in % of the width.
        today: where today stands.
        days: the first and the last day, in words.
    """

    parts: tuple[Stroke, ...]
    letters: tuple[PlacedLetter, ...]
    shakes: tuple[float, ...]
    given: tuple[float, ...]
    today: float
    days: tuple[str, str]
    rows: int


def strokes(life: Life) -> Strokes:
    """The life, laid out."""
    begin, days = life.first, max((life.last - life.first).days, 1)

    def at(day: date) -> float:
        return round(_MARGIN + (day - begin).days / days * (100 - 2 * _MARGIN), 1)

    levels = [(False, jar_spans(life)), *((True, spans) for spans in liquid_spans(life))]
    marks = [one for one in life.moments if one.kind in LETTERS]
    places = [at(one.first) for one in marks]
    rows = stacked(places, _LEAST_GAP)
    return Strokes(
        tuple(
            Stroke(one.what, is_liquid, at(one.first), max(at(one.last), at(one.first) + 0.4))
            for is_liquid, spans in levels
            for one in spans
        ),
        tuple(
            PlacedLetter(LETTERS[one.kind], place, row)
            for one, place, row in zip(marks, places, rows, strict=True)
        ),
        tuple(dict.fromkeys(at(one.first) for one in life.of("shaken"))),
        tuple(dict.fromkeys(at(one.first) for one in life.of("dispensed"))),
        at(life.today),
        (short_day(life.first), short_day(life.last)),
        max(rows) + 1,
    )
