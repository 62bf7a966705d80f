"""A record set from the top of its first page downwards: headings, rows, and where pages end."""

from collections.abc import Iterable, Sequence
from typing import Final

from tracker.core.practice.label_sheets import Box
from tracker.core.values.text import shown
from tracker.outputs.paper.labels.label_lines import Run
from tracker.outputs.paper.line_breaks import LEADING, Set, set_lines
from tracker.outputs.paper.pen import MM_PER_POINT, Pen
from tracker.outputs.paper.record_columns import Column, columns_of
from tracker.outputs.paper.record_ink import (
    Black,
    Ink,
    Rule,
    bottom_of,
    moved,
    start,
    through,
)
from tracker.outputs.records.record_table import Para, RecordCell, RecordRow, Section, Words, para

MARGIN_MM: Final = 16.0
FOOT_MM: Final = 8.0
HEAD_PT, TEXT_PT, SMALL_PT, BAR_PT = 9.0, 8.0, 6.5, 10.0
_LANGUAGE: Final = "en"  # that of the record's own words
_BAR_AIR_MM: Final = 0.8
# A word that is never parted and wider than its column is set smaller.
_SMALLER: Final = 0.92


class Flow:
    """Everything set so far at one scale.

    Attributes:
        pages: what is drawn on each page.
        y: where the next goes, in mm from the top of the last page.
        left, right: the ends of what may be written on.
    """

    def __init__(
        self,
        pen: Pen,
        page_mm: tuple[float, float],
        scale: float,
        *,
        margin_mm: float = MARGIN_MM,
        text_pt: float = TEXT_PT,
    ) -> None:
        self.pen, self.scale, self._margin = pen, scale, margin_mm
        self._text_pt = text_pt * scale
        self.left, self.right = margin_mm, page_mm[0] - margin_mm
        self._bottom = page_mm[1] - margin_mm - FOOT_MM
        self.pages: list[list[Ink]] = [[]]
        self.y = margin_mm

    def put(self, inks: Iterable[Ink], high: float) -> None:
        """Add what is so high to the page."""
        self.pages[-1] += [moved(one, self.y) for one in inks]
        self.y += high

    def keep(self, inks: Sequence[Ink], high: float) -> None:
        """The same, all of it on one page."""
        if self.y + high > self._bottom and self.pages[-1]:
            self._break()
        self.put(inks, high)

    def bar(self, text: str) -> None:
        """A black bar across the page."""
        ends = (self.left + 2.0, self.right - 2.0)
        words, bottom = self.lines(para(text, "B"), ends, BAR_PT, 1.1)
        high = bottom + 1.1
        box = Box(self.left, 0.0, self.right - self.left, high)
        self.put([Black(box, tuple(words))], high + 1.2)

    def section(self, part: Section, *, most: int | None = None) -> None:
        """A heading and its rows; with `most` it stops beyond so many pages."""
        if most is not None and self._is_too_long(part, most):
            self.pages += [[] for _ in range(most)]
            return
        columns = columns_of(part, self.pen.width, self.right - self.left, self._text_pt)
        rows = [self._row(part, columns, row) for row in part.rows]
        head, high = self.head(part, columns, part.head)
        if self.y + high + self._first([tall for _, tall in rows[:2]], high) > self._bottom:
            self._break()
        self.put(head, high)
        for at, (inks, tall) in enumerate(rows):
            if most is not None and len(self.pages) > most:
                return
            last = rows[at + 1][1] if at and at == len(rows) - 2 else 0.0
            self._put_row(part, columns, inks, tall, last)

    def _first(self, talls: Sequence[float], head: float) -> float:
        """What goes along with a heading: its first row, and a second where both are small."""
        few = sum(talls)
        if few <= self._full() / 4:
            return few
        return talls[0] if talls[0] <= self._full() - head else self._full() / 4

    def _is_too_long(self, part: Section, most: int) -> bool:
        """Whether its rows take more than so many pages, were each of them one line."""
        least = len(part.rows) * self._text_pt * LEADING * MM_PER_POINT
        return least > most * self._full()

    def _put_row(
        self,
        part: Section,
        columns: Sequence[Column],
        inks: list[Ink],
        tall: float,
        last: float,
    ) -> None:
        """A row; the last but one goes along with the last, which never stands alone."""
        if self.y + tall + last > self._bottom:
            head, high = self.head(part, columns, f"{part.head}, continued" if part.head else "")
            room = self._full() - high
            if tall + last <= room or (self.y + tall > self._bottom and tall <= room):
                self._go_on(head, high)
            while self.y + tall > self._bottom and self._is_cut(inks):
                inks, tall = self._part_of(inks, tall)
                self._go_on(head, high)
        self.put(inks, tall)
        if part.ruled:
            self.pages[-1].append(Rule(self.left, self.right, self.y, 0.1, 160))

    def _go_on(self, head: Iterable[Ink], high: float) -> None:
        self._break()
        self.put(head, high)

    def _is_cut(self, inks: Sequence[Ink]) -> bool:
        """Whether words of a row reach beyond the page; the air below the last line may."""
        room = self._bottom - self.y
        return any(not isinstance(one, Rule) and bottom_of(one) > room for one in inks)

    def _part_of(self, inks: Sequence[Ink], tall: float) -> tuple[list[Ink], float]:
        """Put the lines of a row that fit this page; give back the others, and their height."""
        room = self._bottom - self.y
        cut = min(start(one) for one in inks if not isinstance(one, Rule) and bottom_of(one) > room)
        # A line drawn through words goes where they go.
        rest = [one for one in inks if start(one) >= cut]
        self.put([one for one in inks if start(one) < cut], cut)
        return [moved(one, -cut) for one in rest], tall - cut

    def head(self, part: Section, columns: Sequence[Column], text: str) -> tuple[list[Ink], float]:
        """The heading with what is said beside it, and the names of the columns."""
        note = (Words(f" – {part.note}"),) if part.note else ()
        size_pt, air = HEAD_PT * self.scale, 2.4 * self.scale
        runs = (Words(text, "B"), *note)
        inks: list[Ink] = []
        high = 0.0
        if text:
            inks, high = self.set((Para(runs),), (self.left, self.right), size_pt, air)
        high += 0.6
        inks.append(Rule(self.left, self.right, high, 0.2))
        if not any(one.head for one in columns):
            return inks, high + 0.6
        ends = [high]
        for one in columns:
            some, end = self._cell((para(one.head),), one, SMALL_PT * self.scale, high + 0.6)
            inks += some
            ends.append(end)
        return inks, max(ends)

    def _row(
        self, part: Section, columns: Sequence[Column], row: RecordRow
    ) -> tuple[list[Ink], float]:
        """A row's ink from 0 downwards, and its height with the air around it."""
        air = (0.55 if part.ruled else 0.15) * self.scale
        inks: list[Ink] = []
        ends = [air]
        for cell, column in zip(row, columns, strict=True):
            some, end = self._cell(cell, column, self._text_pt, air)
            inks += some
            ends.append(end)
        return inks, max(ends) + air

    def _cell(
        self, cell: RecordCell, column: Column, size_pt: float, top: float
    ) -> tuple[list[Ink], float]:
        ends = (self.left + column.left, self.left + column.right)
        inks, end = self.set(cell, ends, size_pt, top)
        if not column.is_number:
            return inks, end
        return [_to_the_right(one, ends[1]) for one in inks], end

    def set(
        self, cell: RecordCell, ends: tuple[float, float], size_pt: float, top: float = 0.0
    ) -> tuple[list[Ink], float]:
        """Paragraphs between two ends, and where they end."""
        inks: list[Ink] = []
        for one in cell:
            if one.is_barred:
                bar, top = self._barred(one, ends, size_pt, top)
                inks.append(bar)
                continue
            lines, top = self.lines(one, ends, size_pt, top)
            inks += lines
            if one.struck:
                inks += [through(line) for line in lines if line.style != "B"]
        return inks, top

    def _barred(
        self, one: Para, ends: tuple[float, float], size_pt: float, top: float
    ) -> tuple[Black, float]:
        """A paragraph on a black bar as long as its longest line."""
        inside = (ends[0] + _BAR_AIR_MM, ends[1] - _BAR_AIR_MM)
        lines, bottom = self.lines(one, inside, size_pt, top + _BAR_AIR_MM / 2)
        right = max(line.x + line.width for line in lines) + _BAR_AIR_MM
        box = Box(ends[0], top + _BAR_AIR_MM / 4, right - ends[0], bottom - top)
        return Black(box, tuple(lines)), bottom + _BAR_AIR_MM / 2

    def lines(
        self, one: Para, ends: tuple[float, float], size_pt: float, top: float
    ) -> tuple[list[Set], float]:
        """A paragraph in lines."""
        runs = tuple(Run(shown(run.text), run.style) for run in one.runs)
        while True:
            made = set_lines(
                runs,
                size_pt=size_pt,
                top=top,
                room=lambda _top, _bottom: ends,
                width=self.pen.width,
                mm_per_pt=MM_PER_POINT,
                language=_LANGUAGE,
            )
            if made is not None:
                return made
            size_pt *= _SMALLER

    def _break(self) -> None:
        self.pages.append([])
        self.y = self._margin

    def _full(self) -> float:
        return self._bottom - self._margin


def _to_the_right(one: Ink, end: float) -> Ink:
    return one._replace(x=end - one.width) if isinstance(one, Set) else one
