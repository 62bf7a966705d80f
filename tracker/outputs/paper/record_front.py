"""The head of a record on its first page: bars, names and days, with room for a label."""

from typing import Final

from tracker.core.practice.label_sheets import Box
from tracker.core.values.text import shown
from tracker.outputs.paper.record_flow import SMALL_PT, TEXT_PT, Flow
from tracker.outputs.paper.record_ink import Frame, Ink, one_line
from tracker.outputs.records.batch_head import Head
from tracker.outputs.records.record_table import Para, para, plant_para

CODE_PT, NAME_PT, LATIN_PT = 22.0, 13.0, 11.0
_GAP_MM: Final = 6.0


def front(flow: Flow, code: str, head: Head, label_mm: tuple[float, float]) -> None:
    """Set the head; what is grave stands above all else."""
    for text in head.grave:
        flow.bar(text)
    flow.y += 1.5 if head.grave else 0.0
    wide, high = label_mm
    ends = (flow.left, flow.right - wide - _GAP_MM)
    inks, bottom = _names(flow, code, head, ends)
    box = Box(flow.right - wide, 1.0, wide, high)
    inks.append(Frame(box))
    inks.append(one_line(flow.pen, box.x + 2, 1.0 + high - 2, "label here", "", SMALL_PT))
    flow.put(inks, max(bottom, high + 1.0) + 1.5)


def _names(flow: Flow, code: str, head: Head, ends: tuple[float, float]) -> tuple[list[Ink], float]:
    """Code, names, what is the matter, days, and when it was printed, one below the other."""
    # A code of any length is set on one line, smaller rather than broken.
    size_pt = min(CODE_PT, (ends[1] - ends[0]) / flow.pen.width(shown(code), "B"))
    lines: list[tuple[Para, float, float]] = [
        (para("BATCH RECORD", "B"), SMALL_PT, 0.0),
        (para(code, "B"), size_pt, 0.0),
        (para(head.name, "B"), NAME_PT, 0.6),
        *((plant_para(one), LATIN_PT, 0.0) for one in head.latin),
        *((para(one, "B"), TEXT_PT, 0.8) for one in head.heed),
        *((para(one), TEXT_PT + 1, 1.0 if not at else 0.0) for at, one in enumerate(head.lines)),
        *((para(one), SMALL_PT + 0.5, 1.2) for one in head.small),
    ]
    inks: list[Ink] = []
    top = 0.0
    for one, size, air in lines:
        some, top = flow.set((one,), ends, size, top + air)
        inks += some
    return inks, top
