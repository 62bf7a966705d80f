"""A handout: many jars on one page, with the next date of each."""

from collections.abc import Iterable, Sequence
from datetime import date, datetime
from typing import Final, NamedTuple

from tracker.core.practice.practice import Practice
from tracker.core.reckoning.cautions import CLOSING, Kind
from tracker.core.shelf.thing import Thing
from tracker.core.values.day_words import short_day
from tracker.core.values.errors import MisusedError
from tracker.core.values.text import shown
from tracker.outputs.paper.labels.label_cautions import (
    CHILDREN,
    FLAMMABLE,
    short,
)
from tracker.outputs.paper.labels.label_days import press_from
from tracker.outputs.paper.labels.label_text import (
    Run,
    menstruum,
    part_and_form,
    ratio_line,
)
from tracker.outputs.paper.line_breaks import Set, set_lines
from tracker.outputs.paper.next_step import next_step_line
from tracker.outputs.paper.pen import MM_PER_POINT, Pen
from tracker.outputs.paper.weak_line import weak_text
from tracker.outputs.view.made import HerbView
from tracker.outputs.view.thing_view import RowView, ThingView, view_of
from tracker.outputs.words.caution_words import source_text
from tracker.outputs.words.latin_names import is_latin
from tracker.outputs.words.plant_names import common_of
from tracker.outputs.words.short_days import when_in_full

HEADINGS: Final = ("CODE", "NAME", "PART", "LIQUID", "RATIO", "STARTED", "NEXT", "KEEP TILL")
# What each column takes of the width.
_SHARES: Final = (0.095, 0.215, 0.095, 0.115, 0.145, 0.09, 0.15, 0.095)
A4_LYING_MM: Final = (297.0, 210.0)
_MARGIN_MM, _GAP_MM = 12.0, 2.0
_TITLE_PT, _TEXT_PT, _FOOT_PT = 15.0, 9.0, 7.5
# One page where it can be read: down to 5.4 points, then on to further pages.
_SCALES: Final = (1.0, 0.92, 0.84, 0.76, 0.68, 0.6)

HandoutCell = tuple[Run, ...]


class HandoutRow(NamedTuple):
    """One jar: a cell for each heading.

    `heed` are the cautions about its plants, `care` how to handle them; `sources` are
    those of either, each with its plant. What is grave stands first at the foot.
    """

    cells: tuple[HandoutCell, ...]
    heed: str | None
    care: tuple[str, ...]
    flammable: bool
    sources: tuple[tuple[str, str], ...] = ()
    is_grave: bool = False

    @property
    def has_cautions(self) -> bool:
        """Whether it adds anything to the foot."""
        return bool(self.heed or self.care or self.flammable)


def row(thing: Thing, practice: Practice, today: date) -> HandoutRow:
    """What the handout says about one jar or extract."""
    view = view_of(thing, practice, today)
    herbs = view.row.herbs
    cells = (
        (Run(thing.code, "B"),),
        tuple(run for place, one in enumerate(herbs) for run in _name(one, is_first=not place)),
        (Run(" + ".join(dict.fromkeys(part_and_form(one) for one in herbs))),),
        (Run(menstruum(view)),),
        (Run(ratio_line(view)),),
        (Run(when_in_full(view.row.begun) + (" (a guess)" if view.row.charge_guessed else "")),),
        (Run(_next(thing, view, practice, today)),),
        _keep_till(view.row, today),
    )
    safe = tuple(tuple(run._replace(text=shown(run.text)) for run in cell) for cell in cells)
    heed = _short(view, "plant", "wet")
    return HandoutRow(
        safe,
        f"{thing.code}: {' '.join(heed)}" if heed else None,
        tuple(_short(view, "care")),
        any(one.kind == "fire" for one in view.cautions),
        tuple((source_text(one), one.herb) for one in view.cautions if one.source and one.herb),
        any(one.is_grave for one in view.cautions),
    )


def _short(view: ThingView, *kinds: Kind) -> list[str]:
    """The cautions of these kinds, without what the foot says once for all jars."""
    found = short((one for one in view.cautions if one.kind in kinds), named=True)
    return [text for text in found if text not in (CHILDREN, CLOSING)]


def _name(one: HerbView, *, is_first: bool) -> HandoutCell:
    common = common_of([one])
    latin = Run(one.herb, "I" if is_latin(one.herb) else "")
    also = () if is_first else (Run(" + "),)
    if common is None or common == one.herb:
        return (*also, latin)
    name = Run(f"{common[:1].upper()}{common[1:]}", "B")
    return (*also, name, latin._replace(text=f" {one.herb}"))


def _next(thing: Thing, view: ThingView, practice: Practice, today: date) -> str:
    """The day that matters to a class: the press day until it is pressed."""
    if view.row.is_macerating and view.row.hold is None:
        return press_from(view.row)
    return next_step_line(thing, view, practice, today)


def _keep_till(found: RowView, today: date) -> HandoutCell:
    """Blank, to be written on, until it is pressed; what is weak says so before that."""
    if found.weak is not None:
        return (Run(weak_text(found.weak, today), "B"),)
    if found.good_through is not None:
        return (Run(short_day(found.good_through)),)
    return () if found.pressed is None else (Run("not known"),)


class Handout(NamedTuple):
    """The file and how many pages it has."""

    pdf: bytes
    pages: int
    missing: frozenset[str]


def handout(
    rows: Sequence[HandoutRow],
    made: datetime,
    *,
    day: date,
    title: str = "Jars",
    page_mm: tuple[float, float] = A4_LYING_MM,
    is_whole: bool = True,
) -> Handout:
    """The rows as a table on one page, or on more where one could not be read.

    Args:
        rows: one for each jar.
        made: the present, for the file's own date.
        day: the day as of which it is true, for its head.
        title: what stands before that.
        page_mm: width and height.
        is_whole: whether the book is as it was written.

    Raises:
        MisusedError: there are no rows.
    """
    if not rows:
        raise MisusedError(
            "There is no jar to put on it.",
            where="the handout",
            do="name a jar, or charge one.",
        )
    with Pen(shown(title), made) as pen:
        table, pages = _paged(pen, rows, page_mm)
        heading = f"{shown(title)}, {short_day(day)}{'' if is_whole else ', book INCOMPLETE'}"
        for number, some in enumerate(pages, 1):
            of = f", page {number} of {len(pages)}" if len(pages) > 1 else ""
            table.draw(some, heading + of, _foot(some))
        return Handout(pen.finished(), len(pages), frozenset(pen.missing))


def _paged(
    pen: Pen, rows: Sequence[HandoutRow], page_mm: tuple[float, float]
) -> tuple["_Table", list[list[HandoutRow]]]:
    """On one page at the largest scale that does it; else on several that are easy to read."""
    for scale in _SCALES:
        table = _Table(pen, page_mm, scale)
        pages = table.pages(rows, most=1)
        if len(pages) == 1:
            return table, pages
    table = _Table(pen, page_mm, _SCALES[2])
    return table, table.pages(rows)


def _foot(rows: Iterable[HandoutRow]) -> str:
    """The cautions for this page, once for all of its jars."""
    rows = list(rows)
    heed = [row.heed for row in sorted(rows, key=lambda one: not one.is_grave) if row.heed]
    care = dict.fromkeys(text for row in rows for text in row.care)
    fire = [FLAMMABLE] if any(row.flammable for row in rows) else []
    closing = [CLOSING] if heed else []
    every = [*heed, *fire, CHILDREN, *care, *_sources(rows), *closing]
    return " ".join(every)


def _sources(rows: Iterable[HandoutRow]) -> list[str]:
    """Where the cautions are from, each source once with its plants."""
    plants: dict[str, dict[str, None]] = {}
    for row in rows:
        for source, plant in row.sources:
            plants.setdefault(source, {})[plant] = None
    said = [f"{source} ({', '.join(some)})" for source, some in plants.items()]
    return [f"Sources: {'; '.join(said)}."] if said else []


class _Table(NamedTuple):
    """The table at one scale."""

    pen: Pen
    page_mm: tuple[float, float]
    scale: float

    def pages(
        self, rows: Sequence[HandoutRow], *, most: int | None = None
    ) -> list[list[HandoutRow]]:
        """The rows that fit each page, below its headings and above its foot.

        With `most` it stops at the first page beyond so many.
        """
        bottom = self.page_mm[1] - _MARGIN_MM
        found: list[list[HandoutRow]] = [[]]
        y, foot_mm, said = self._top(), 0.0, ""
        for row in rows:
            height = self._cells(row, 0.0)[1]
            foot = _foot([*found[-1], row]) if row.has_cautions or not said else said
            if foot != said:
                foot_mm, said = self._foot_at(foot, 0.0)[1], foot
            if found[-1] and y + height + foot_mm > bottom:
                if len(found) == most:
                    return [*found, [row]]
                found.append([])
                y, said = self._top(), _foot([row])
                foot_mm = self._foot_at(said, 0.0)[1]
            found[-1].append(row)
            y += height
        return found

    def _top(self) -> float:
        return _MARGIN_MM + _TITLE_PT * MM_PER_POINT * 1.6 + 6 * self.scale

    def draw(self, rows: Sequence[HandoutRow], heading: str, foot: str) -> None:
        """One page."""
        pen, (wide, _) = self.pen, self.page_mm
        pen.page(*self.page_mm)
        pen.write(_MARGIN_MM, _MARGIN_MM + _TITLE_PT * MM_PER_POINT, heading, "B", _TITLE_PT)
        y = self._top()
        for (left, _right), name in zip(self._columns(), HEADINGS, strict=True):
            pen.write(left, y - 2 * self.scale, name, "B", 7 * self.scale)
        pen.rule(_MARGIN_MM, wide - _MARGIN_MM, y - 0.6 * self.scale, 0.3)
        for row in rows:
            texts, height = self._cells(row, y)
            self._write(texts)
            y += height
            pen.rule(_MARGIN_MM, wide - _MARGIN_MM, y, 0.1)
        self._write(self._foot_at(foot, y)[0])

    def _write(self, texts: Iterable[Set]) -> None:
        for one in texts:
            self.pen.write(one.x, one.baseline, one.text, one.style, one.size_pt)

    def _columns(self) -> list[tuple[float, float]]:
        whole = self.page_mm[0] - 2 * _MARGIN_MM
        left, found = _MARGIN_MM, []
        for share in _SHARES:
            found.append((left, left + share * whole - _GAP_MM))
            left += share * whole
        return found

    def _cells(self, row: HandoutRow, top: float) -> tuple[list[Set], float]:
        """The texts of a row, and its height with the air below."""
        texts: list[Set] = []
        ends = [top]
        air = 1.1 * self.scale
        for ends_of, cell in zip(self._columns(), row.cells, strict=True):
            placed, end = self._set(cell, ends_of, top + air, _TEXT_PT * self.scale)
            texts += placed
            ends.append(end)
        return texts, max(ends) - top + air

    def _foot_at(self, foot: str, y: float) -> tuple[list[Set], float]:
        ends = (_MARGIN_MM, self.page_mm[0] - _MARGIN_MM)
        return self._set((Run(foot),), ends, y + 3.0, _FOOT_PT * self.scale)

    def _set(
        self, cell: HandoutCell, ends: tuple[float, float], top: float, size_pt: float
    ) -> tuple[list[Set], float]:
        made = set_lines(
            cell,
            size_pt=size_pt,
            top=top,
            room=lambda _top, _bottom: ends,
            width=self.pen.width,
            mm_per_pt=MM_PER_POINT,
        )
        assert made is not None  # a column is wider than any letter
        return made


def lying_page_mm(sheet_page_mm: tuple[float, float]) -> tuple[float, float]:
    """The paper a handout is printed on, lying: that of the maker's sheet of labels, or A4."""
    least, most = sorted(sheet_page_mm)
    return (most, least) if least >= 140 else A4_LYING_MM
