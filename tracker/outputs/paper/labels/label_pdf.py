"""Labels as a PDF."""

from collections.abc import Sequence
from datetime import datetime
from typing import NamedTuple

from tracker.core.practice.label_sheets import Box, LabelSheet
from tracker.core.values.errors import MisusedError
from tracker.outputs.paper.labels.label_layout import Layout, Work, laid_out
from tracker.outputs.paper.labels.label_lines import Label
from tracker.outputs.paper.pen import Pen
from tracker.outputs.paper.qr import Bar, bars

MOST_LABELS = 10_000
# With more codes than this in one go the best mask of each is not looked for.
MANY_LABELS = 60
# The type of what stands at a page's foot, and the room it takes there.
FOOT_PT = 7.0
_FOOT_MM = 7.0


class Printed(NamedTuple):
    """The file, and of each label which lines it says and which it had no room for.

    `missing` holds the characters that no font has: each is printed as a replacement
    character.
    """

    pdf: bytes
    pages: int
    labels: int
    lines: tuple[tuple[str, ...], ...]
    left_off: tuple[tuple[str, ...], ...]
    missing: frozenset[str]


class _Ink(NamedTuple):
    """What is drawn of a label: its layout, the modules of its QR code, the maker's logo."""

    layout: Layout
    dark: Sequence[Bar]
    logo: bytes | None


def printed(
    labels: Sequence[Label],
    sheet: LabelSheet,
    made: datetime,
    *,
    start: int = 1,
    copies: int = 1,
    logo: bytes | None = None,
    title: str = "Labels",
    foot: str = "",
) -> Printed:
    """Labels on a sheet, row by row, the copies of each side by side; all in one size of type.

    Args:
        labels: what each says.
        sheet: where they lie.
        made: the present, for the file's own date.
        start: the first position to print at, from 1: those before it were used.
        copies: of each label.
        logo: a picture for the upper right of each.
        title: what the file is called.
        foot: what stands at each page's foot, beside the labels, where there is room, and in the
            file's subject.

    Raises:
        MisusedError: there is nothing to print, no such position, or far too much.
        TooSmallError: one does not fit.
    """
    _check(labels, sheet, start, copies)
    codes = [_code_of(one, quick=len(labels) > MANY_LABELS) for one in labels]
    with Pen(title, made, foot) as pen:
        modules = [found for found, _ in codes]
        work = Work(sheet, pen.width, modules, logo is not None)
        layouts = laid_out(labels, work)
        inks = [_Ink(one, dark, logo) for one, (_, dark) in zip(layouts, codes, strict=True)]
        pages = _draw_all(pen, inks, sheet, start, copies)
        return Printed(
            pen.finished(),
            pages,
            len(labels) * copies,
            tuple(tuple(line.text for line in one.printed if line.text) for one in layouts),
            tuple(one.left_off for one in layouts),
            frozenset(pen.missing),
        )


def _draw_all(pen: Pen, inks: Sequence[_Ink], sheet: LabelSheet, start: int, copies: int) -> int:
    """Every label in its place; how many pages that took."""
    page = -1
    for number, one in enumerate((ink for ink in inks for _ in range(copies)), start - 1):
        its_page, box = sheet.place(number)
        if its_page > page:
            pen.page(*sheet.page_mm)
            _say_at_foot(pen, sheet)
            page = its_page
        if sheet.outline:
            pen.outline(box, is_round=sheet.is_round)
        with pen.within(box):
            _draw(pen, one, box)
    return page + 1


def _say_at_foot(pen: Pen, sheet: LabelSheet) -> None:
    """What the file is about, below the last labels or above the first."""
    first, last = sheet.place(0)[1], sheet.place(sheet.per_page - 1)[1]
    below = last.y + last.height
    for top, free in ((below, sheet.page_mm[1] - below), (first.y - _FOOT_MM, first.y)):
        if pen.subject and free >= _FOOT_MM:
            # Beyond the edge that printers leave white.
            pen.write(first.x, top + 0.6 * _FOOT_MM, pen.subject, "B", FOOT_PT)
            return


def _code_of(label: Label, *, quick: bool) -> tuple[int | None, list[Bar]]:
    return bars(label.qr, quick=quick) if label.qr else (None, [])


def _check(labels: Sequence[Label], sheet: LabelSheet, start: int, copies: int) -> None:
    if not labels:
        raise MisusedError(
            "There is nothing to print.", where="the labels", do="name a jar or a bottle."
        )
    if not 1 <= start <= sheet.per_page:
        raise MisusedError(
            f"There is no position {start} on that sheet.",
            where="--start",
            do=f"say 1 to {sheet.per_page}.",
        )
    if copies < 1 or len(labels) * copies > MOST_LABELS:
        raise MisusedError(
            f"{len(labels)} labels, {copies} times each.",
            where="--copies",
            do=f"print 1 to {MOST_LABELS} labels in one go.",
        )


def _draw(pen: Pen, ink: _Ink, at: Box) -> None:
    setting = ink.layout.setting
    for text in setting.texts:
        pen.write(at.x + text.x, at.y + text.baseline, text.text, text.style, text.size_pt)
    if setting.bar is not None:
        pen.black(_moved(setting.bar, at))
    for text in setting.in_bar:
        x, y = at.x + text.x, at.y + text.baseline
        pen.write(x, y, text.text, text.style, text.size_pt, white=True)
    if setting.code is not None:
        place, size = setting.code
        pen.bars(at.x + place.x, at.y + place.y, size, ink.dark)
    if setting.logo is not None and ink.logo is not None:
        pen.picture(_moved(setting.logo, at), ink.logo)


def _moved(box: Box, at: Box) -> Box:
    return box._replace(x=at.x + box.x, y=at.y + box.y)
