"""The line of a jar's life as SVG. Put together here: a template would take ten times as long."""

from markupsafe import Markup, escape

from tracker.outputs.pictures.jar_life import Life
from tracker.outputs.pictures.strokes import Stroke, strokes
from tracker.outputs.pictures.svg import plain

# Heights in pixels: of a row of letters, from letters to the herb, and from herb to liquid.
_ROW, _BESIDE, _LIQUID = 16, 8, 18


def life_line(life: Life) -> Markup:
    """Letters, herb with its shakes, liquid with what was given out, and the days at both ends.

    All of it in words as well. Its looks are those of the classes of the page's style sheet.
    """
    drawn = strokes(life)
    herb = drawn.rows * _ROW + _BESIDE
    liquid = herb + (_LIQUID if any(not one.is_liquid for one in drawn.parts) else 0)
    high = liquid + 34
    parts = "".join(_part(one, liquid if one.is_liquid else herb) for one in drawn.parts)
    up = "".join(f"M{one.at} {herb - _ROW * one.row - 6}V{herb - 4}" for one in drawn.letters)
    ticks = "".join(f"M{at} {herb + 5}v5" for at in drawn.shakes)
    ticks += "".join(f"M{at} {liquid + 6}v5" for at in drawn.given)
    letters = "".join(
        f'<text x="{one.at}%" y="{herb - _ROW * one.row - 8}">{one.letter}</text>'
        for one in drawn.letters
    )
    first, last = drawn.days
    days = (
        f'<text class="from" x="0" y="{high - 5}">{first}</text>'
        f'<text class="to" x="100%" y="{high - 5}">{last}</text>'
    )
    return Markup(
        f'<svg class="life" role="img" height="{high}"><title>{_said(life.code)} through time'
        f"</title><desc>{_said(life.in_words)}</desc>"
        f'<svg viewBox="0 0 100 {high}" preserveAspectRatio="none">'
        f'<path class="up" d="{up}"/>{parts}'
        f'{_path("ticks", ticks)}<path class="now" d="M{drawn.today} {herb - 6}V{liquid + 12}"/>'
        f"</svg>{letters}{days}</svg>\n"
    )


def _part(one: Stroke, base: int) -> str:
    """A part of a line; of liquid in date it is double, on hold crossed."""
    heights = (base - 3, base + 3) if one.what == "extract" else (base,)
    return _path(one.what, "".join(f"M{one.start} {height}H{one.end:g}" for height in heights))


def _path(what: str, steps: str) -> str:
    return f'<path class="{what}" d="{steps}"/>' if steps else ""


def _said(text: str) -> str:
    return escape(plain(text))
