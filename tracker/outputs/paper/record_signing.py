"""The lines of a record that are filled in and signed by hand, whole on one page."""

from typing import Final

from tracker.outputs.paper.record_columns import columns_of
from tracker.outputs.paper.record_flow import SMALL_PT, Flow
from tracker.outputs.paper.record_ink import Ink, Rule, one_line
from tracker.outputs.records.batch_parts import Record
from tracker.outputs.records.record_table import listed

SIGNED: Final = ("Made by", "Checked by")
_LINE_MM: Final = 11.0
_DATE_MM: Final = 24.0


def to_sign(flow: Flow, record: Record) -> None:
    """A line each for the vessel and its cleaning, then who signs, two abreast, with the date."""
    part = listed("To fill in and sign", ())
    columns = columns_of(part, flow.pen.width, flow.right - flow.left, SMALL_PT)
    inks, top = flow.head(part, columns, part.head)
    for name in record.to_fill_in:
        top += _LINE_MM
        inks += _line(flow, flow.left, flow.right, top, name)
    half = (flow.right - flow.left) / 2
    names = (*SIGNED, *record.to_sign)
    for place, name in enumerate(names):
        left = flow.left + place % 2 * (half + 3)
        top += _LINE_MM if not place % 2 else 0.0
        inks += _line(flow, left, left + half - _DATE_MM - 6, top, name)
        inks += _line(flow, left + half - _DATE_MM - 3, left + half - 3, top, "date")
    flow.keep(inks, top)


def _line(flow: Flow, left: float, right: float, bottom: float, name: str) -> list[Ink]:
    """A line to write on, and below it what is written there."""
    y = bottom - 3.2
    return [
        Rule(left, right, y, 0.15),
        one_line(flow.pen, left, y + 2.6, name, "", SMALL_PT),
    ]
