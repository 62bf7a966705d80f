"""Plain columns for a terminal: measured in cells, cut to the width, coloured or not."""

from collections.abc import Callable, Iterable, Sequence

import msgspec
from msgspec.structs import replace

from tracker.core.values.text import shown

# Meanings, not colours, are named; each also reads without any (words say the same). All of them
# read on a light screen and on a dark one: danger brings its own ground, attention is bold, the
# green is one of the few that stand out from white as from black.
STYLES = {
    "bold": "1",  # what an answer is about
    "faint": "2",  # quiet: heads, and what is over
    "warn": "1",  # attention
    "bad": "1;97;41",  # danger: white on red
    "good": "38;5;29",
    "latin": "3",
}


_AND = " + "
_JOINERS = "\u200c\u200d"  # what they joined is cut off
_GAP = 2  # blanks between columns
_LEAST = 8  # cells: fewer tell no two herbs apart


class Column(msgspec.Struct, frozen=True):
    """One column: its head, whether it is numbers, and the width it may shrink to.

    `near`: whether one blank before it will do where room is short.
    `listed`: whether what stands in it is names joined by ` + `, which are cut by whole names.
    `within`: gives every cell of the column for so many cells of width, where those of the rows
    are too wide.
    """

    head: str
    right: bool = False
    least: int = 0  # 0: never shrinks
    near: bool = False
    listed: bool = False
    within: "Callable[[int], Sequence[str | Cell]] | None" = None


class Cell(msgspec.Struct, frozen=True):
    """A text and what it means; each of `parts`, which are safe to print, has its own style."""

    text: str = ""
    style: str = ""
    parts: tuple[tuple[str, str], ...] = ()


Row = list[str | Cell]
Columns = Sequence[tuple[Column, Sequence[str | Cell]]]


def styled(text: str, style: str, *, colour: bool) -> str:
    """The text in a style, where colour is wanted."""
    return f"\x1b[{STYLES[style]}m{text}\x1b[0m" if colour and style and text else text


def width(text: str) -> int:
    """Terminal cells the text takes."""
    if text.isascii() or all(mark < "\u0300" or mark in "–…" for mark in text):
        return len(text)  # below the combining marks every character is one cell
    import wcwidth

    return max(int(wcwidth.wcswidth(text)), 0)


def cut(text: str, cells: int) -> str:
    """The text in at most so many cells, with an ellipsis where it was longer."""
    if width(text) <= cells:
        return text
    while text and width(text) > cells - 1:
        text = text[:-1]
    return text.rstrip().rstrip(_JOINERS) + "…"


def cut_list(text: str, cells: int) -> str:
    """Names joined by ` + ` in at most so many cells: `C. officinalis +2 more`."""
    names = text.split(_AND)
    if width(text) <= cells or len(names) == 1:
        return cut(text, cells)
    for kept in range(len(names) - 1, 0, -1):
        short = f"{_AND.join(names[:kept])} +{len(names) - kept} more"
        if width(short) <= cells:
            return short
    more = f" +{len(names) - 1} more"
    if cells - width(more) < _LEAST:
        more = more.removesuffix(" more")
    return cut(names[0], max(cells - width(more), 1)) + more


def table(
    columns: Sequence[Column],
    rows: Iterable[Sequence[str | Cell]],
    *,
    total: int = 80,
    colour: bool = False,
) -> list[str]:
    """Lines of a table no wider than `total` cells; columns that may shrink give way."""
    columns = [replace(column, head=shown(column.head)) for column in columns]
    cells = [[_cell(one) for one in row] for row in rows]
    widths = [
        max([width(column.head), *(width(row[place].text) for row in cells)])
        for place, column in enumerate(columns)
    ]
    gaps = _gaps(columns, sum(widths), total)
    widths = _fitted(columns, widths, total - sum(gaps))
    for place, column in enumerate(columns):
        if column.within is not None and cells:
            for row, cell in zip(cells, column.within(widths[place]), strict=True):
                row[place] = _cell(cell)
    head = [Cell(column.head, "faint") for column in columns]
    return [_line(columns, row, widths, gaps, colour=colour) for row in [head, *cells]]


def columned(columns: Columns, may_go: Sequence[Column], *, total: int, colour: bool) -> list[str]:
    """A table of whole columns, without the first of those that may go as far as room is short."""
    layouts = [columns]
    for one in may_go:
        layouts.append([(head, cells) for head, cells in layouts[-1] if head.head != one.head])
    return fitting(layouts, total=total, colour=colour)


def fitting(layouts: Sequence[Columns], *, total: int, colour: bool) -> list[str]:
    """A table of the first columns there is room for, the fullest given first."""
    kept = next((one for one in layouts if _least_width(one) <= total), layouts[-1])
    rows = list(zip(*(cells for _, cells in kept), strict=True))
    return table([head for head, _ in kept], rows, total=total, colour=colour)


def _least_width(columns: Columns) -> int:
    """The fewest cells a table of these columns takes."""
    natural = [
        (head.least, max([width(head.head), *(width(_cell(one).text) for one in cells)]))
        for head, cells in columns
    ]
    cells = sum(min(least or full, full) for least, full in natural)
    return cells + sum(1 if head.near else _GAP for head, _ in columns[1:])


def _cell(one: str | Cell) -> Cell:
    if isinstance(one, str):
        return Cell(shown(one))
    if one.parts:
        return Cell("".join(text for text, _ in one.parts), "", one.parts)
    return Cell(shown(one.text), one.style)


def _gaps(columns: Sequence[Column], cells: int, total: int) -> list[int]:
    """Blanks before each column: one before those that may be near, as far as room is short."""
    gaps = [0, *(_GAP for _ in columns[1:])]
    for place, column in enumerate(columns):
        if place and column.near and cells + sum(gaps) > total:
            gaps[place] = 1
    return gaps


def _fitted(columns: Sequence[Column], widths: list[int], total: int) -> list[int]:
    over = sum(widths) - total
    shrinking = [(at, column.least) for at, column in enumerate(columns) if column.least]
    while over > 0:
        room = [
            (widths[place] - least, place) for place, least in shrinking if widths[place] > least
        ]
        room = room or [(widths[place], place) for place, _ in shrinking if widths[place] > _LEAST]
        if not room:
            break
        widths[max(room)[1]] -= 1
        over -= 1
    return widths


def _line(
    columns: Sequence[Column],
    row: Sequence[Cell],
    widths: Sequence[int],
    gaps: Sequence[int],
    *,
    colour: bool,
) -> str:
    parts = []
    for column, cell, cells, gap in zip(columns, row, widths, gaps, strict=True):
        text = (cut_list if column.listed else cut)(cell.text, cells)
        blank = " " * (cells - width(text))
        dressed = _dressed(cell, text, colour=colour)
        parts.append(" " * gap + (blank + dressed if column.right else dressed + blank))
    return "".join(parts).rstrip()


def _dressed(cell: Cell, text: str, *, colour: bool) -> str:
    if cell.parts and text == cell.text:
        return "".join(styled(part, style, colour=colour) for part, style in cell.parts)
    return styled(text, cell.style, colour=colour)
