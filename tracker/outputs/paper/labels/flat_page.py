"""A rectangular label: the plant at the top, cautions at the foot, code and QR at the right."""

from typing import NamedTuple

from tracker.core.practice.label_sheets import Box, LabelSheet
from tracker.outputs.paper.labels.label_lines import NAMES, LabelLine, Run
from tracker.outputs.paper.labels.line_setting import MM_PER_POINT, SLACK_MM, Lines, Setter
from tracker.outputs.paper.line_breaks import Room, Set
from tracker.outputs.paper.qr import LEAST_MODULE_MM, QUIET, USUAL_MODULE_MM

# What the QR code may take of the label's width and height.
_QR_WIDE, _QR_HIGH = 0.42, 0.5
# What a logo may take.
_LOGO_WIDE, _LOGO_HIGH = 0.2, 0.26
# Cautions beside the code have at least so much of the width, else they stand above it, as they
# do on a label that is higher than wide.
_FOOT_LEAST = 0.35
# Free above and below what is set in the bar, and left and right, in parts of its size.
_BAR_PAD, _BAR_INSET = 0.12, 0.5


class CodePlace(NamedTuple):
    """Where the QR code lies, quiet zone included, and how large each module is, in mm."""

    box: Box
    module_mm: float


class Setting(NamedTuple):
    """What lies where on a label, in mm from its own top left corner."""

    texts: tuple[Set, ...]
    bar: Box | None = None
    in_bar: tuple[Set, ...] = ()
    code: CodePlace | None = None
    logo: Box | None = None


class Parts(NamedTuple):
    """What has to be set: the lines that are kept of a label."""

    lines: tuple[LabelLine, ...]
    foot: tuple[LabelLine, ...]
    mark: tuple[LabelLine, ...]
    bar: LabelLine | None


class _Corner(NamedTuple):
    """The lower right: code and QR, the left end of them, and how low the foot may reach."""

    texts: tuple[Set, ...]
    code: CodePlace | None
    top: float
    left: float
    foot_right: float
    foot_bottom: float

    def is_too_high(self, sheet: LabelSheet, logo: Box | None) -> bool:
        """Whether the QR code lies on the padding above, or on the logo."""
        quiet = QUIET * self.code.module_mm if self.code else 0.0
        ends = logo.y + logo.height if logo is not None else sheet.padding_mm - quiet
        return self.top < ends - SLACK_MM


def joined(mark: tuple[LabelLine, ...]) -> LabelLine:
    """Code and size in one line."""
    code, *rest = mark
    runs = (*code.runs, *(Run(f" · {one.text}") for one in rest))
    return code._replace(runs=runs)


def after_names(lines: tuple[LabelLine, ...], more: LabelLine) -> tuple[LabelLine, ...]:
    """The lines, with one put in after those that name the plant."""
    names = tuple(one for one in lines if one.role in (*NAMES, "under"))
    return (*names, more, *lines[len(names) :])


def flat(
    parts: Parts, sheet: LabelSheet, setter: Setter, modules: int | None, *, has_logo: bool
) -> Setting | None:
    """The lines in their places; None where they do not fit.

    Args:
        parts: what to set.
        sheet: the size of the label and its padding.
        setter: what it is set by.
        modules: along a side of its QR code, quiet zone included; None without one.
        has_logo: whether the maker's logo stands in the upper right.
    """
    wide, padding = sheet.label_mm[0], sheet.padding_mm
    gap = setter.type.gap_mm
    bar, in_bar, bottom = _bar(parts.bar, sheet, setter)
    if bar is not None:
        bottom -= gap
    corner = _corner(parts.mark, sheet, setter, modules, bottom)
    logo = _logo(sheet) if has_logo else None
    if modules is not None and (corner is None or corner.is_too_high(sheet, logo)):
        return None
    lines = parts.lines if corner else after_names(parts.lines, joined(parts.mark))
    right, foot_bottom = (
        (corner.foot_right, corner.foot_bottom) if corner else (wide - padding, bottom)
    )
    foot = setter.flow(parts.foot, 0.0, lambda top, below: (padding, right))
    if foot is None:
        return None
    foot = foot.moved(foot_bottom - foot.end)
    foot_top = foot.texts[0].top if foot.texts else foot_bottom
    above = setter.flow(lines, padding, _room(sheet, corner, logo, gap))
    if above is None or above.end + (gap if foot.texts else 0.0) > foot_top + SLACK_MM:
        return None
    texts = (*above.texts, *foot.texts, *(corner.texts if corner else ()))
    return Setting(texts, bar, in_bar, corner.code if corner else None, logo)


def _bar(
    line: LabelLine | None, sheet: LabelSheet, setter: Setter
) -> tuple[Box | None, tuple[Set, ...], float]:
    """The black bar along the bottom with its words, and where it begins."""
    wide, high = sheet.label_mm
    padding, bottom = sheet.padding_mm, high - sheet.padding_mm
    if line is None:
        return None, (), bottom
    inset = _BAR_INSET * setter.type.pt("bar") * MM_PER_POINT
    made = setter.in_bar(line, 0.0, lambda top, below: (padding + inset, wide - padding - inset))
    if made is None:
        return None, (), -1.0
    pad = _BAR_PAD * made.texts[0].size_pt * MM_PER_POINT
    height = made.end + 2 * pad
    placed = made.moved(bottom - height + pad)
    return Box(padding, bottom - height, wide - 2 * padding, height), placed.texts, bottom - height


def _corner(
    mark: tuple[LabelLine, ...],
    sheet: LabelSheet,
    setter: Setter,
    modules: int | None,
    bottom: float,
) -> _Corner | None:
    """Code and QR in the lower right; None without a QR code, or where it cannot be read."""
    if modules is None or (module := module_mm(sheet, modules)) is None:
        return None
    wide, padding = sheet.label_mm[0], sheet.padding_mm
    side, right = module * modules, wide - padding
    gap = setter.type.gap_mm
    shift = min(padding, QUIET * module)  # the quiet zone may lie in the padding, which is as white
    x = right - side + shift
    said = setter.flow(mark, 0.0, lambda top, below: (padding, right))
    if said is None:
        return None
    text_wide = max(_width_of(said, one) for one in said.texts)
    under = min(x, right - text_wide - gap)
    is_wide = wide >= sheet.label_mm[1]
    if is_wide and under - padding >= _FOOT_LEAST * (right - padding):
        words = said.moved(bottom - said.end)
        y = bottom - said.end - side + QUIET * module / 2
        texts = tuple(one._replace(x=right - _width_of(said, one)) for one in words.texts)
        code = CodePlace(Box(x, y, side, side), module)
        return _Corner(texts, code, y, under, under, bottom)
    return _beside(said, sheet, module, side, x, bottom)


def _beside(
    said: Lines, sheet: LabelSheet, module: float, side: float, x: float, bottom: float
) -> _Corner | None:
    """The code left of the QR where it has room there, else below it; the foot above both."""
    padding, shift = sheet.padding_mm, QUIET * module
    text_wide = max(_width_of(said, one) for one in said.texts)
    lowest = bottom + min(padding, shift) if bottom == sheet.label_mm[1] - padding else bottom
    is_left = text_wide <= x - padding
    y = lowest - side if is_left else bottom - said.end - side + shift / 2
    words = said.moved(bottom - said.end)
    code = CodePlace(Box(x, y, side, side), module)
    right = sheet.label_mm[0] - padding
    return _Corner(words.texts, code, y, x, right, y + shift / 2)


def _width_of(said: Lines, line: Set) -> float:
    return sum(one.width for one in said.texts if abs(one.top - line.top) < SLACK_MM) or line.width


def module_mm(sheet: LabelSheet, modules: int) -> float | None:
    """How large a module of a QR code is; None where it would be too small to be read."""
    wide, high = sheet.label_mm
    module = min(USUAL_MODULE_MM, wide * _QR_WIDE / modules, high * _QR_HIGH / modules)
    return None if sheet.is_round or module < LEAST_MODULE_MM else module


def _logo(sheet: LabelSheet) -> Box:
    wide, high = sheet.label_mm
    across, down = wide * _LOGO_WIDE, high * _LOGO_HIGH
    return Box(wide - sheet.padding_mm - across, sheet.padding_mm, across, down)


def _room(sheet: LabelSheet, corner: _Corner | None, logo: Box | None, gap: float) -> Room:
    """What is free at the left of the logo above, and of code and QR below."""

    def room(top: float, bottom: float) -> tuple[float, float]:
        right = sheet.label_mm[0] - sheet.padding_mm
        if logo is not None and top < logo.y + logo.height:
            right = logo.x - gap
        if corner is not None and bottom > corner.top:
            right = min(right, corner.left)
        return sheet.padding_mm, max(right, sheet.padding_mm)

    return room
