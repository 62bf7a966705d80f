"""The foot of a page: what it is of, what to heed, when it was printed, which page of how many."""

from typing import Final, NamedTuple

from tracker.core.values.text import shown
from tracker.outputs.paper.pen import Pen
from tracker.outputs.paper.record_flow import FOOT_MM
from tracker.outputs.paper.record_ink import Ink, Rule, one_line

_FOOT_PT: Final = 7.5


class Foot(NamedTuple):
    """What stands at the foot of a page: what it is of, marks behind that in bold, and the rest."""

    what: str
    marks: tuple[str, ...]
    at_right: str


def foot_of(pen: Pen, page_mm: tuple[float, float], margin_mm: float, said: Foot) -> list[Ink]:
    """The foot in its place, below a line."""
    left, right = margin_mm, page_mm[0] - margin_mm
    baseline = page_mm[1] - margin_mm - 0.5
    name = shown(said.what)
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
