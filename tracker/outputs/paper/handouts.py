"""A handout: many jars as a table, with the next date of each, and what their plants ask for."""

from collections.abc import Sequence
from datetime import date, datetime
from typing import Final, NamedTuple

from tracker.core.herbs.common_names import common_name
from tracker.core.reckoning.cautions import CLOSING
from tracker.core.values.day_words import short_day
from tracker.core.values.errors import MisusedError
from tracker.core.values.text import shown
from tracker.outputs.paper.handout_rows import BY_POURED, HandoutRow
from tracker.outputs.paper.labels.label_cautions import CHILDREN, FLAMMABLE
from tracker.outputs.paper.page_foot import Foot, foot_of
from tracker.outputs.paper.paper_size import A4_MM
from tracker.outputs.paper.pen import Pen
from tracker.outputs.paper.record_flow import Flow
from tracker.outputs.paper.record_ink import Ink, drawn
from tracker.outputs.records.batch_head import INCOMPLETE
from tracker.outputs.records.record_table import (
    Para,
    RecordColumn,
    RecordRow,
    Section,
    barred,
    cell,
    para,
    tabled,
)
from tracker.outputs.view.heeds import ORDER, Heed
from tracker.outputs.words.caution_words import caution_text
from tracker.outputs.words.heed_words import codes_said, heed_mark

_MARGIN_MM: Final = 12.0
_TITLE_PT, _TEXT_PT = 15.0, 9.0
# One page where it can be read: down to 7.2 points, then on to further pages.
_SCALES: Final = (1.0, 0.93, 0.86, 0.8)
_ON_SEVERAL: Final = 0.93
_COLUMNS: Final = (
    RecordColumn("NAME", 1.0, is_flexible=True),
    RecordColumn("CODE", 0.14),
    RecordColumn("PART", 0.12),
    RecordColumn("LIQUID", 0.15),
    RecordColumn("RATIO", 0.1),
    RecordColumn("CHARGED", 0.1),
    RecordColumn("PRESSED", 0.1),
    RecordColumn("NEXT", 0.7, is_flexible=True),
    RecordColumn("GOOD THROUGH", 0.11),
)
_OF_NO_PLANT: Final = {"fire": "strong spirit", "wet": "wet herb in oil"}
_CAUTIONS: Final = (
    RecordColumn("OF", 0.2),
    RecordColumn("CAUTION", 1.0, is_flexible=True),
    RecordColumn("JARS", 0.3),
)


class Handout(NamedTuple):
    """The file, how many pages it has, and the letters no font has."""

    pdf: bytes
    pages: int
    missing: frozenset[str]


class _Title(NamedTuple):
    """What stands at the head of the first page, and at the foot of each."""

    text: str
    day: date
    is_whole: bool


def handout(
    rows: Sequence[HandoutRow],
    made: datetime,
    *,
    day: date,
    title: str = "Jars",
    page_mm: tuple[float, float] = (A4_MM[1], A4_MM[0]),
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
    said = _Title(title, day, is_whole)
    with Pen(shown(title), made) as pen:
        pages = _pages(pen, page_mm, rows, said)
        marks = () if is_whole else ("INCOMPLETE",)
        for count, inks in enumerate(pages, 1):
            pen.page(*page_mm)
            foot = Foot(f"{title}, {short_day(day)}", marks, f"{count} of {len(pages)}")
            drawn(pen, [*inks, *foot_of(pen, page_mm, _MARGIN_MM, foot)])
        return Handout(pen.finished(), len(pages), frozenset(pen.missing))


def _pages(
    pen: Pen, page_mm: tuple[float, float], rows: Sequence[HandoutRow], said: _Title
) -> list[list[Ink]]:
    """On one page at the largest scale that does it; else on several that are easy to read."""
    for scale in _SCALES:
        pages = _set(Flow(pen, page_mm, scale, margin_mm=_MARGIN_MM, text_pt=_TEXT_PT), rows, said)
        if len(pages) == 1:
            return pages
    flow = Flow(pen, page_mm, _ON_SEVERAL, margin_mm=_MARGIN_MM, text_pt=_TEXT_PT)
    return _set(flow, rows, said)


def _set(flow: Flow, rows: Sequence[HandoutRow], said: _Title) -> list[list[Ink]]:
    if not said.is_whole:
        flow.bar(INCOMPLETE)
    ends = (flow.left, flow.right)
    flow.put(*flow.set((para(said.text, "B"),), ends, _TITLE_PT))
    by = f"; ratios by {BY_POURED}" if any(one.is_by_poured for one in rows) else ""
    flow.put(*flow.set((para(f"{short_day(said.day)}{by}"),), ends, _TEXT_PT))
    # What is not there yet is left free, to be written on.
    flow.section(tabled("", _COLUMNS, [one.cells for one in rows], blank=""))
    cautions = _cautions(rows)
    if cautions.rows:
        flow.section(cautions)
    closing = [CHILDREN, *([CLOSING] if cautions.rows else [])]
    flow.keep(*flow.set(tuple(para(one) for one in closing), ends, _TEXT_PT * flow.scale, 1.5))
    return flow.pages


def _cautions(rows: Sequence[HandoutRow]) -> Section:
    """Each caution once, the gravest first, with its plant and the codes it is true of."""
    found: dict[tuple[str, str], tuple[Heed, list[str]]] = {}
    heeds = [
        (one, row.code if one.is_whole else codes_said(one.codes))
        for row in rows
        for one in row.heeds
        if one.caution is not None
    ]
    for one, code in sorted(heeds, key=lambda pair: ORDER.index(pair[0].kind)):
        if one.kind != "lid":  # which stands in the row of its jar
            found.setdefault((_of(one), _said(one)), (one, []))[1].append(code)
    every = [row.code for row in rows]
    said = [
        _caution(of, text, one, _codes(codes, every)) for (of, text), (one, codes) in found.items()
    ]
    return tabled("Cautions", _CAUTIONS, said)


def _of(one: Heed) -> str:
    """What a caution is about: the plant as people call it."""
    of = _OF_NO_PLANT.get(one.kind, "") if one.herb is None else common_name(one.herb) or one.herb
    return f"{of[:1].upper()}{of[1:]}"


def _said(one: Heed) -> str:
    """A caution with its source; of strong spirit, in short."""
    assert one.caution is not None
    if one.kind == "fire" and one.is_sure:
        return FLAMMABLE
    return caution_text(one.caution, sources=True)


def _caution(of: str, text: str, one: Heed, codes: str) -> RecordRow:
    mark = (barred(heed_mark(one).upper()),) if one.is_grave else ()
    said: Para = para(text[:1].upper() + text[1:], "B" if one.is_grave else "")
    return cell(of), (*mark, said), cell(codes)


def _codes(codes: Sequence[str], every: Sequence[str]) -> str:
    named = list(dict.fromkeys(codes))
    return "all" if len(named) == len(every) > 1 else ", ".join(named)
