"""The line of a jar's life as SVG within HTML, in few bytes: a page has one for every jar.

Put together here: a template would take ten times as long.
"""

from markupsafe import Markup, escape

from tracker.outputs.pictures.life.jar_life import Life
from tracker.outputs.pictures.life.strokes import Stroke, Strokes, strokes
from tracker.outputs.pictures.svg import plain

# Heights in pixels: of a row of letters, from letters to the herb, and from herb to liquid.
_ROW, _BESIDE, _LIQUID = 16, 8, 18


def life_line(life: Life) -> Markup:
    """Letters, herb with its shakes, liquid with what was given out, and the days at both ends.

    Its days are in words as well; what is to be heeded stands beside it on the page. Its looks are
    those of the classes of the page's style sheet.
    """
    drawn = strokes(life)
    herb = drawn.rows * _ROW + _BESIDE
    has_both = len({one.is_liquid for one in drawn.parts}) > 1
    liquid = herb + _LIQUID if has_both else herb
    high = liquid + 34
    parts = "".join(_part(one, liquid if one.is_liquid else herb) for one in drawn.parts)
    up = "".join(f"M{_x(one.at)} {herb - _ROW * one.row - 6}V{herb - 4}" for one in drawn.letters)
    ticks = "".join(f"M{_x(at)} {herb + 5}v5" for at in drawn.shakes)
    ticks += "".join(f"M{_x(at)} {liquid + 6}v5" for at in drawn.given)
    letters = "".join(_letters(drawn, row, herb - _ROW * row - 8) for row in range(drawn.rows))
    first, last = drawn.days
    return Markup(
        f"<svg class=life role=img height={high}><title>{_said(life.code)} through time</title>"
        f"<desc>{_said(life.days_in_words)}</desc>"
        f'<svg viewBox="0 0 1000 {high}" preserveAspectRatio=none><path d="{up}"/>{parts}'
        f'{_path("ticks", ticks)}<path class=now d="M{_x(drawn.today)} {herb - 6}V{liquid + 12}"/>'
        f"</svg>{letters}<text y={high - 5}>{first}</text>"
        f"<text x=100% y={high - 5}>{last}</text></svg>\n"
    )


def _letters(drawn: Strokes, row: int, y: int) -> str:
    """The letters of a row, each about its own place."""
    found = [one for one in drawn.letters if one.row == row]
    places = " ".join(f"{one.at:g}%" for one in found)
    return f'<text x="{places}" y={y}>{"".join(one.letter for one in found)}</text>'


def _part(one: Stroke, base: int) -> str:
    """A part of a line; of liquid in date it is double, on hold crossed."""
    heights = (base - 3, base + 3) if one.what == "extract" else (base,)
    return _path(
        one.what, "".join(f"M{_x(one.start)} {height}H{_x(one.end)}" for height in heights)
    )


def _x(share_pct: float) -> int:
    """A place in thousandths: a digit and no point less for every stroke."""
    return round(share_pct * 10)


def _path(what: str, steps: str) -> str:
    return f'<path class={what} d="{steps}"/>' if steps else ""


def _said(text: str) -> str:
    return escape(plain(text))
