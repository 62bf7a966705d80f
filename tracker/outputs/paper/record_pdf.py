"""The batch record on paper: two quiet pages for a usual life, more where its steps go on."""

from collections.abc import Iterable, Sequence
from datetime import tzinfo
from typing import Final, NamedTuple

from tracker.core.values.text import shown
from tracker.outputs.paper.paper_size import A4_MM, LABEL_MM
from tracker.outputs.paper.pen import Pen
from tracker.outputs.paper.record_flow import FOOT_MM, MARGIN_MM, Flow
from tracker.outputs.paper.record_front import front
from tracker.outputs.paper.record_ink import Ink, Rule, drawn, one_line
from tracker.outputs.paper.record_signing import to_sign
from tracker.outputs.records import batch_words
from tracker.outputs.records.batch_head import Head, head_of
from tracker.outputs.records.batch_parts import Record
from tracker.outputs.records.batch_sections import sections
from tracker.outputs.records.record_table import Section

_FOOT_PT: Final = 7.5
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
            said = _Foot(record.code, head.marks, f"{printed}   {count} of {len(pages)}")
            drawn(pen, [*inks, *_foot(pen, page_mm, said)])
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


class _Foot(NamedTuple):
    """What stands at the foot of a page."""

    code: str
    marks: tuple[str, ...]
    at_right: str


def _foot(pen: Pen, page_mm: tuple[float, float], said: _Foot) -> list[Ink]:
    """The code, what to heed, when it was printed and which page of how many, on every page."""
    left, right = MARGIN_MM, page_mm[0] - MARGIN_MM
    baseline = page_mm[1] - MARGIN_MM - 0.5
    name = shown(f"Batch record {said.code}")
    heed = shown("".join(f"  {one}" for one in said.marks))
    end = right - pen.width(said.at_right, "") * _FOOT_PT
    # A code of any length is set on one line, smaller rather than broken.
    wide = pen.width(name, "") + pen.width(heed, "B")
    size_pt = min(_FOOT_PT, (end - left - 4) / wide)
    inks: list[Ink] = [
        Rule(left, right, baseline - FOOT_MM / 2, 0.15),
        one_line(pen, left, baseline, name, "", size_pt),
        one_line(pen, end, baseline, said.at_right, "", _FOOT_PT),
    ]
    if heed:
        after = left + pen.width(name, "") * size_pt
        inks.append(one_line(pen, after, baseline, heed, "B", size_pt))
    return inks
