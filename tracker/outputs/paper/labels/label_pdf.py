"""Labels as a PDF."""

from collections.abc import Sequence
from datetime import datetime
from typing import NamedTuple

from tracker.core.practice.label_sheets import Box, LabelSheet
from tracker.core.values.errors import MisusedError
from tracker.outputs.paper.labels.label_layout import Layout, fitted
from tracker.outputs.paper.labels.label_text import Label
from tracker.outputs.paper.pen import Pen
from tracker.outputs.paper.qr import Bar, bars

MOST_LABELS = 10_000
# With more codes than this in one go the best mask of each is not looked for.
MANY_LABELS = 60


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


def printed(
    labels: Sequence[Label], sheet: LabelSheet, made: datetime, *, start: int = 1, copies: int = 1
) -> Printed:
    """Labels on a sheet, row by row, the copies of each side by side.

    Args:
        labels: what each says.
        sheet: where they lie.
        made: the present, for the file's own date.
        start: the first position to print at, from 1: those before it were used.
        copies: of each label.

    Raises:
        MisusedError: there is nothing to print, no such position, or far too much.
        TooSmallError: one does not fit.
    """
    _check(labels, sheet, start, copies)
    with Pen("Labels", made) as pen:
        layouts, pages = _draw_all(pen, labels, sheet, start, copies)
        return Printed(
            pen.finished(),
            pages,
            len(labels) * copies,
            tuple(tuple(line.text for line in one.printed) for one in layouts),
            tuple(one.left_off for one in layouts),
            frozenset(pen.missing),
        )


def _draw_all(
    pen: Pen, labels: Sequence[Label], sheet: LabelSheet, start: int, copies: int
) -> tuple[list[Layout], int]:
    """Every label in its place; how each was laid out, and how many pages that took."""
    layouts: list[Layout] = []
    page = -1
    number = start - 1
    for label in labels:
        modules, dark = _code_of(label, quick=len(labels) > MANY_LABELS)
        layout = fitted(label, sheet, pen.width, modules)
        layouts.append(layout)
        for _ in range(copies):
            its_page, box = sheet.place(number)
            if its_page > page:
                pen.page(*sheet.page_mm)
                page = its_page
            _draw(pen, layout, box, sheet, dark)
            number += 1
    return layouts, page + 1


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


def _draw(pen: Pen, layout: Layout, box: Box, sheet: LabelSheet, dark: Sequence[Bar]) -> None:
    if sheet.outline:
        pen.outline(box, is_round=sheet.is_round)
    with pen.within(box):
        for text in layout.texts:
            pen.write(box.x + text.x, box.y + text.baseline, text.text, text.style, text.size_pt)
        if layout.rule:
            left, right, y = layout.rule
            pen.rule(box.x + left, box.x + right, box.y + y)
        if layout.code:
            place, size = layout.code
            pen.bars(box.x + place.x, box.y + place.y, size, dark)
