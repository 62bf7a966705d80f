"""The line of a jar's life as SVG. Put together here: a template would take ten times as long."""

from markupsafe import Markup, escape

from tracker.outputs.pictures.jar_life import Life
from tracker.outputs.pictures.strokes import Stroke, strokes
from tracker.outputs.pictures.svg import plain

# Heights in pixels: of a row of letters, and of what there is beside them.
_ROW, _BESIDE = 15, 6


def life_line(life: Life) -> Markup:
    """The line, the letters over it and the shakes under it; all of it in words as well."""
    drawn = strokes(life)
    base = drawn.rows * _ROW + _BESIDE
    high = base + 14
    parts = "".join(_part(one, base) for one in drawn.parts)
    up = "".join(f"M{one.at} {base - _ROW * one.row - 5}V{base + 4}" for one in drawn.letters)
    ticks = "".join(f"M{at} {base + 7}v5" for at in drawn.shakes)
    letters = "".join(
        f'<text x="{one.at}%" y="{base - _ROW * one.row - 7}">{one.letter}</text>'
        for one in drawn.letters
    )
    return Markup(
        f'<svg class="life" role="img" height="{high}"><title>{_said(life.code)} through time'
        f"</title><desc>{_said(life.in_words)}</desc>"
        f'<svg viewBox="0 0 100 {high}" preserveAspectRatio="none">{parts}'
        f'<path d="{up}{ticks}"/></svg>{letters}</svg>\n'
    )


def _part(one: Stroke, base: int) -> str:
    """A part of the line; of extract in date it is double."""
    heights = (base - 2, base + 2) if one.what == "extract" else (base,)
    path = "".join(f"M{one.start} {height}H{one.end}" for height in heights)
    return f'<path class="{one.what}" d="{path}"/>'


def _said(text: str) -> str:
    return escape(plain(text))
