"""A round label: everything in one block in the middle, the bar as a band across it."""

from math import sqrt
from typing import Final, NamedTuple

from tracker.core.practice.label_sheets import Box, LabelSheet
from tracker.outputs.paper.labels.flat_page import Parts, Setting, joined
from tracker.outputs.paper.labels.line_setting import MM_PER_POINT, SLACK_MM, Lines, Setter
from tracker.outputs.paper.line_breaks import Set

# Free above and below the words of the band, in parts of their size.
_BAND_PAD: Final = 0.14
_BAND_GAP_MM: Final = 0.5
# A block that was moved up lies where the circle is narrower and may take more lines.
_LEAST_MOVE_MM: Final = 0.1
_NARROW_MOVE_MM: Final = 1.0


class _Block(NamedTuple):
    """Everything in its place, and where it ends."""

    texts: tuple[Set, ...]
    bar: Box | None
    in_bar: tuple[Set, ...]
    end: float


def round_setting(parts: Parts, sheet: LabelSheet, setter: Setter) -> Setting | None:
    """The lines centred in the ellipse of a label; None where they do not fit."""
    high = sheet.label_mm[1]
    # The code comes first: it is short, and the circle is narrow there.
    parts = parts._replace(lines=(joined(parts.mark), *parts.lines))
    start = high / 2
    while start > sheet.padding_mm:
        made = _block(parts, start, sheet, setter)
        if made is None:
            start -= _NARROW_MOVE_MM
        elif made.end <= high - start + SLACK_MM:
            return Setting(made.texts, made.bar, made.in_bar)
        else:
            start = min((high - (made.end - start)) / 2, start - _LEAST_MOVE_MM)
    return None


def _block(parts: Parts, top: float, sheet: LabelSheet, setter: Setter) -> _Block | None:
    def room(top: float, bottom: float) -> tuple[float, float]:
        return _in_ellipse(sheet, top, bottom)

    above = setter.flow(parts.lines, top, room)
    if above is None:
        return None
    end = above.end
    bar: Box | None = None
    in_bar: tuple[Set, ...] = ()
    if parts.bar is not None:
        band = _band(parts, end + _BAND_GAP_MM, sheet, setter)
        if band is None:
            return None
        bar, in_bar = band
        end = bar.y + bar.height + _BAND_GAP_MM
    foot = setter.flow(parts.foot, end, room)
    if foot is None:
        return None
    return _Block((*above.texts, *foot.texts), bar, in_bar, foot.end if foot.texts else end)


def _band(
    parts: Parts, top: float, sheet: LabelSheet, setter: Setter
) -> tuple[Box, tuple[Set, ...]] | None:
    """The bar as wide as the ellipse is at its narrower end."""
    assert parts.bar is not None
    pad = _BAND_PAD * setter.type.pt("bar") * MM_PER_POINT

    def room(above: float, below: float) -> tuple[float, float]:
        left, right = _in_ellipse(sheet, above - pad, below + pad)
        return left + 2 * pad, max(right - 2 * pad, left + 2 * pad)

    made: Lines | None = setter.in_bar(parts.bar, top + pad, room)
    if made is None:
        return None
    bottom = made.end + pad
    left, right = _in_ellipse(sheet, top, bottom)
    widest = max(one.width for one in made.texts) + 2 * pad
    if right - left < widest:
        return None
    return Box(left, top, right - left, bottom - top), made.texts


def _in_ellipse(sheet: LabelSheet, top: float, bottom: float) -> tuple[float, float]:
    """Between the edges of the ellipse within the padding, at the narrower end."""
    wide, high = (length / 2 for length in sheet.label_mm)
    across, down = wide - sheet.padding_mm, high - sheet.padding_mm
    off = max(abs(top - high), abs(bottom - high)) / down
    half = across * sqrt(1 - off * off) if off < 1 else 0.0
    return wide - half, wide + half
