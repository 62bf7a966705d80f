"""The batch record on paper: two quiet pages for a usual life, more where its steps go on."""

from collections.abc import Iterable, Sequence
from datetime import tzinfo
from typing import Final, NamedTuple

from tracker.core.values.text import shown
from tracker.outputs.paper.page_foot import Foot, foot_of
from tracker.outputs.paper.paper_size import A4_MM, LABEL_MM
from tracker.outputs.paper.pen import Pen
from tracker.outputs.paper.record_flow import MARGIN_MM, Flow
from tracker.outputs.paper.record_front import front
from tracker.outputs.paper.record_ink import Ink, drawn
from tracker.outputs.paper.record_signing import to_sign
from tracker.outputs.records import batch_words
from tracker.outputs.records.batch_head import Head, head_of
from tracker.outputs.records.batch_parts import Record
from tracker.outputs.records.batch_sections import sections
from tracker.outputs.records.record_table import Section

# Two pages where it can be read: down to 6.7 points, then on to further pages.
_USUAL_PAGES: Final = 2
_SCALES: Final = (1.0, 0.94, 0.88, 0.84)


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
    label_mm: tuple[float, float] = LABEL_MM,
) -> RecordPdf:
    """The record as a PDF: what the text record says, with lines to sign in ink.

    The tables of the PDF library would set one style a cell, stop at a row longer than a page,
    and take three times as long.

    Args:
        record: all the book holds of a batch.
        made_up: what the batch is made of, as name and value.
        zone: in which times of day are said.
        page_mm: width and height.
        label_mm: the same of the room for a label.
    """
    parts, head = sections(record, made_up, zone), head_of(record, zone)
    with Pen(shown(f"Batch record {record.code}"), record.made) as pen:
        pages = _pages(_Paper(pen, page_mm, label_mm), record, head, parts)
        printed = f"printed {batch_words.moment(record.made, zone)}"
        for count, inks in enumerate(pages, 1):
            pen.page(*page_mm)
            at_right = f"{printed}   {count} of {len(pages)}"
            foot = Foot(f"Batch record {record.code}", head.marks, at_right)
            drawn(pen, [*inks, *foot_of(pen, page_mm, MARGIN_MM, foot)])
        return RecordPdf(pen.finished(), len(pages), frozenset(pen.missing))


class _Paper(NamedTuple):
    """What a record is set on."""

    pen: Pen
    page_mm: tuple[float, float]
    label_mm: tuple[float, float]


def _pages(paper: _Paper, record: Record, head: Head, parts: Sequence[Section]) -> list[list[Ink]]:
    """At the largest scale that keeps to two pages; else at full size."""
    for scale in _SCALES:
        pages = _set(paper, record, head, parts, scale, most=_USUAL_PAGES)
        if pages is not None:
            return pages
    pages = _set(paper, record, head, parts, 1.0)
    assert pages is not None  # without a limit it is set to its end
    return pages


def _set(
    paper: _Paper,
    record: Record,
    head: Head,
    parts: Sequence[Section],
    scale: float,
    *,
    most: int | None = None,
) -> list[list[Ink]] | None:
    """The pages at one scale; None where they are more than may be."""
    flow = Flow(paper.pen, paper.page_mm, scale)
    front(flow, record.code, head, paper.label_mm)
    for part in parts:
        flow.section(part, most=most)
        if most is not None and len(flow.pages) > most:
            return None
    to_sign(flow, record)
    return None if most is not None and len(flow.pages) > most else flow.pages
