"""A jar's life as strokes in hundredths of a width: what the page draws without a library."""

from datetime import date

import msgspec

from tracker.outputs.pictures.jar_life import LETTERS, Life, stacked

# Letters nearer than this, in hundredths of the width, would touch on a phone.
_LEAST_GAP = 4.5
_MARGIN = 1.5


class Stroke(msgspec.Struct, frozen=True):
    """A part of the line: what it is, from where to where, in % of the width."""

    what: str
    start: float
    end: float


class PlacedLetter(msgspec.Struct, frozen=True):
    """A letter over the line, in % of the width, and how many rows up."""

    letter: str
    at: float
    row: int


class Strokes(msgspec.Struct, frozen=True):
    """The line, the letters over it, and the shakes under it."""

    parts: tuple[Stroke, ...]
    letters: tuple[PlacedLetter, ...]
    shakes: tuple[float, ...]
    rows: int


def strokes(life: Life) -> Strokes:
    """The life, laid out."""
    begin, days = life.first, max((life.last - life.first).days, 1)

    def at(day: date) -> float:
        return round(_MARGIN + (day - begin).days / days * (100 - 2 * _MARGIN), 1)

    charged = life.begun
    kept = [one.last for one in life.of("good through")]
    spans = [
        ("within", charged.first, charged.last),
        ("herb", charged.last, life.herb_out),
        ("extract", life.herb_out, min(life.today, max(kept, default=life.herb_out))),
        ("come", life.today, life.last),
    ]
    marks = [one for one in life.moments if one.kind in LETTERS]
    places = [at(one.first) for one in marks]
    rows = stacked(places, _LEAST_GAP)
    return Strokes(
        tuple(Stroke(what, at(first), at(last)) for what, first, last in spans if last > first),
        tuple(
            PlacedLetter(LETTERS[one.kind], place, row)
            for one, place, row in zip(marks, places, rows, strict=True)
        ),
        tuple(dict.fromkeys(at(one.first) for one in life.of("shaken"))),
        max(rows) + 1,
    )
