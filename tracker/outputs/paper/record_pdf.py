"""The batch record on paper: two quiet pages for a usual life, more where its steps go on."""

from collections.abc import Iterable, Sequence
from datetime import tzinfo
from typing import Final, NamedTuple

from tracker.core.values.text import shown
from tracker.outputs.paper.labels.label_text import Run, Style
from tracker.outputs.paper.line_breaks import BASELINE, LEADING, Set, set_lines
from tracker.outputs.paper.pen import MM_PER_POINT, Pen
from tracker.outputs.paper.record_parts import Para, RecordCell, RecordRow, Section, sections
from tracker.outputs.records import batch_words
from tracker.outputs.records.batch_parts import Record

A4_MM: Final = (210.0, 297.0)
MARGIN_MM: Final = 16.0
SIGNED: Final = ("Made by", "Checked by")
_FOOT_MM, _GAP_MM, _SIGN_MM = 8.0, 2.0, 11.0
_CODE_PT, _NAME_PT, _HEAD_PT, _TEXT_PT, _SMALL_PT = 20.0, 11.0, 9.0, 8.0, 6.5
# Two pages where it can be read: down to 6.6 points, then on to further pages.
_USUAL_PAGES: Final = 2
_SCALES: Final = (1.0, 0.94, 0.88, 0.82)


class Rule(NamedTuple):
    """A level line between two places, all in mm."""

    left: float
    right: float
    y: float
    thick: float
    grey: int = 0


Ink = Set | Rule


class RecordPdf(NamedTuple):
    """The file, how many pages it has, and the letters no font has."""

    pdf: bytes
    pages: int
    missing: frozenset[str]


def record_pdf(
    record: Record,
    made_up: Iterable[tuple[str, str]],
    zone: tzinfo,
    *,
    page_mm: tuple[float, float] = A4_MM,
) -> RecordPdf:
    """The record as a PDF: what the text record says, with lines to sign in ink.

    Args:
        record: all the book holds of a batch.
        made_up: what the batch is made of, as name and value.
        zone: in which times of day are said.
        page_mm: width and height.
    """
    parts = sections(record, made_up, zone)
    with Pen(shown(f"Batch record {record.code}"), record.made) as pen:
        for scale in _SCALES:
            pages = _Flow(pen, page_mm, scale).pages(record, parts, zone)
            if len(pages) <= _USUAL_PAGES:
                break
        else:
            pages = _Flow(pen, page_mm, 1.0).pages(record, parts, zone)
        for count, inks in enumerate(pages, 1):
            pen.page(*page_mm)
            _draw(pen, [*inks, *_foot(pen, page_mm, record.code, f"{count} of {len(pages)}")])
        return RecordPdf(pen.finished(), len(pages), frozenset(pen.missing))


def _draw(pen: Pen, inks: Iterable[Ink]) -> None:
    for one in inks:
        if isinstance(one, Rule):
            pen.rule(*one)
        else:
            pen.write(one.x, one.baseline, one.text, one.style, one.size_pt)


def _foot(pen: Pen, page_mm: tuple[float, float], code: str, count: str) -> list[Ink]:
    """The code and which page of how many, on every page."""
    left, right = MARGIN_MM, page_mm[0] - MARGIN_MM
    baseline = page_mm[1] - MARGIN_MM - 0.5
    name = shown(f"Batch record {code}")
    # A code of any length is set on one line, smaller rather than broken.
    room = right - left - 25
    size_pt = min(_TEXT_PT, room / pen.width(name, ""))
    end = right - pen.width(count, "") * _TEXT_PT
    return [
        Rule(left, right, baseline - 4, 0.15),
        _one_line(pen, left, baseline, name, "", size_pt),
        _one_line(pen, end, baseline, count, "", _TEXT_PT),
    ]


def _one_line(pen: Pen, x: float, baseline: float, text: str, style: Style, size_pt: float) -> Set:
    high = size_pt * MM_PER_POINT
    width = pen.width(text, style) * size_pt
    top = baseline - high * BASELINE
    return Set(x, baseline, text, style, size_pt, width, top, top + high * LEADING)


class _Flow:
    """The record at one scale, from the top of its first page downwards."""

    def __init__(self, pen: Pen, page_mm: tuple[float, float], scale: float) -> None:
        self._pen, self._scale = pen, scale
        self._left, self._right = MARGIN_MM, page_mm[0] - MARGIN_MM
        self._bottom = page_mm[1] - MARGIN_MM - _FOOT_MM
        self._pages: list[list[Ink]] = [[]]
        self._y = MARGIN_MM

    def pages(self, record: Record, parts: Sequence[Section], zone: tzinfo) -> list[list[Ink]]:
        """What is drawn on each page."""
        self._title(record, zone)
        for part in parts:
            self._section(part)
        self._sign((*SIGNED, *record.to_sign))
        return self._pages

    def _title(self, record: Record, zone: tzinfo) -> None:
        made = batch_words.moment(record.made, zone)
        held: tuple[tuple[str, Style, float], ...] = (
            () if record.hold is None else ((record.hold, "B", _TEXT_PT),)
        )
        lines: tuple[tuple[str, Style, float], ...] = (
            ("BATCH RECORD", "B", _SMALL_PT),
            (record.code, "B", _CODE_PT),
            (record.what, "", _NAME_PT),
            (f"{record.state}; made {made}", "", _TEXT_PT),
            *held,
            (record.basis, "", _TEXT_PT),
        )
        for text, style, size_pt in lines:
            inks, high = self._set((Para((Run(shown(text), style),)),), 0.0, 1.0, size_pt)
            self._put(inks, high)
        self._y += 1.5

    def _section(self, part: Section) -> None:
        """A heading, never alone at the foot of a page, and its rows."""
        rows = [self._row(part, row) for row in part.rows]
        head, high = self._head(part, part.head)
        first = min(rows[0][1], self._full()) if rows else 0.0
        if self._y + high + first > self._bottom:
            self._break()
        self._put(head, high)
        for inks, tall in rows:
            if self._y + tall > self._bottom and tall <= self._full() - high:
                self._go_on(part)
            while self._y + tall > self._bottom and self._is_cut(inks):
                inks, tall = self._part_of(inks, tall)
                self._go_on(part)
            self._put(inks, tall)
            if part.ruled:
                self._pages[-1].append(Rule(self._left, self._right, self._y, 0.1, 160))

    def _go_on(self, part: Section) -> None:
        self._break()
        self._put(*self._head(part, f"{part.head}, continued"))

    def _is_cut(self, inks: Sequence[Ink]) -> bool:
        """Whether words of a row reach beyond the page; the air below the last line may."""
        room = self._bottom - self._y
        return any(isinstance(one, Set) and one.bottom > room for one in inks)

    def _part_of(self, inks: Sequence[Ink], tall: float) -> tuple[list[Ink], float]:
        """Put the lines of a row that fit this page; give back the others, and their height."""
        room = self._bottom - self._y
        cut = min(one.top for one in inks if isinstance(one, Set) and one.bottom > room)
        # A line drawn through words goes where they go.
        rest = [one for one in inks if _start(one) >= cut]
        self._put([one for one in inks if _start(one) < cut], cut)
        return [_moved(one, -cut) for one in rest], tall - cut

    def _head(self, part: Section, text: str) -> tuple[list[Ink], float]:
        """The heading, the names of the columns, and `none` where there are no rows."""
        runs = (Run(text, "B"), *(() if part.rows else (Run("  none"),)))
        air = 2.4 * self._scale
        inks, high = self._set((Para(runs),), 0.0, 1.0, _HEAD_PT * self._scale, air)
        if not part.rows:
            return inks, high
        high += 0.6
        inks.append(Rule(self._left, self._right, high, 0.2))
        if not any(name for name, _ in part.columns):
            return inks, high + 0.6
        ends, start = [high], 0.0
        for name, share in part.columns:
            cell = (Para((Run(name),)),)
            some, end = self._set(cell, start, share, _SMALL_PT * self._scale, high + 0.6)
            inks += some
            ends.append(end)
            start += share
        return inks, max(ends)

    def _row(self, part: Section, row: RecordRow) -> tuple[list[Ink], float]:
        """A row's ink from 0 downwards, and its height with the air around it."""
        air = (0.55 if part.ruled else 0.15) * self._scale
        inks: list[Ink] = []
        ends, start = [air], 0.0
        for cell, (_, share) in zip(row, part.columns, strict=True):
            some, end = self._set(cell, start, share, _TEXT_PT * self._scale, air)
            inks += some
            ends.append(end)
            start += share
        return inks, max(ends) + air

    def _set(
        self, cell: RecordCell, start: float, share: float, size_pt: float, top: float = 0.0
    ) -> tuple[list[Ink], float]:
        """A cell between two shares of the width, and where it ends."""
        whole = self._right - self._left
        left = self._left + start * whole
        gap = _GAP_MM if start + share < 0.999 else 0.0
        ends = (left, left + share * whole - gap)
        inks: list[Ink] = []
        for para in cell:
            made = set_lines(
                para.runs,
                size_pt=size_pt,
                top=top,
                room=lambda _top, _bottom: ends,
                width=self._pen.width,
                mm_per_pt=MM_PER_POINT,
            )
            assert made is not None  # a column is wider than any letter
            inks += made[0]
            if para.struck:
                inks += [_through(one) for one in made[0] if one.style != "B"]
            top = made[1]
        return inks, top

    def _sign(self, names: Sequence[str]) -> None:
        """Lines for ink, two abreast: the name and the date below each."""
        head, high = self._head(Section("To sign", (("", 1.0),), (((),),)), "To sign")
        tall = -(-len(names) // 2) * _SIGN_MM
        if self._y + high + tall > self._bottom:
            self._break()
        self._put(head, high)
        half = (self._right - self._left) / 2
        inks: list[Ink] = []
        for place, name in enumerate(names):
            left = self._left + place % 2 * (half + 3)
            y = (place // 2 + 1) * _SIGN_MM - 3.2
            for x, right, said in (
                (left, left + half - 30, name),
                (left + half - 27, left + half - 3, "date"),
            ):
                inks.append(Rule(x, right, y, 0.15))
                inks.append(_one_line(self._pen, x, y + 2.6, said, "", _SMALL_PT))
        self._put(inks, tall)

    def _put(self, inks: Iterable[Ink], high: float) -> None:
        self._pages[-1] += [_moved(one, self._y) for one in inks]
        self._y += high

    def _break(self) -> None:
        self._pages.append([])
        self._y = MARGIN_MM

    def _full(self) -> float:
        return self._bottom - MARGIN_MM


def _through(one: Set) -> Rule:
    """A line through the middle of the small letters."""
    y = one.baseline - 0.27 * one.size_pt * MM_PER_POINT
    return Rule(one.x, one.x + one.width, y, 0.2)


def _start(one: Ink) -> float:
    return one.y if isinstance(one, Rule) else one.top


def _moved(one: Ink, down: float) -> Ink:
    if isinstance(one, Rule):
        return one._replace(y=one.y + down)
    return one._replace(baseline=one.baseline + down, top=one.top + down, bottom=one.bottom + down)
