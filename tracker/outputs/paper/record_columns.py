"""How wide the columns of a table are: as wide as what stands in them, one takes the rest."""

from collections.abc import Callable, Sequence
from typing import Final, NamedTuple

from tracker.outputs.records.record_table import Para, Section, Style

Width = Callable[[str, Style], float]

_GAP_MM: Final = 3.0
# Type of the names of columns, in parts of the size of the text.
_NAME_SIZE: Final = 0.82
# The black at both ends of words on a bar, in mm for each point of their size.
_BAR_ENDS: Final = 0.3
# What is left to the columns of words at the least, in parts of the width.
_LEAST_LEFT: Final = 0.3


class Column(NamedTuple):
    """A column between two places in mm from the left margin, and its name."""

    head: str
    left: float
    right: float
    is_number: bool


def columns_of(part: Section, width: Width, whole_mm: float, size_pt: float) -> list[Column]:
    """The columns of a table at a size of type."""
    found, left = [], 0.0
    widths = _widths(part, width, whole_mm, size_pt)
    for place, (one, wide) in enumerate(zip(part.columns, widths, strict=True)):
        is_last = place == len(widths) - 1
        right = whole_mm if is_last else left + wide
        found.append(Column(one.head, left, right, one.is_number))
        left = right + _GAP_MM
    return found


def _widths(part: Section, width: Width, whole_mm: float, size_pt: float) -> list[float]:
    natural = [_natural(part, at, width) * size_pt + 0.1 for at in range(len(part.columns))]
    flexible = [at for at, one in enumerate(part.columns) if one.is_flexible]
    room = whole_mm - _GAP_MM * (len(natural) - 1)
    if sum(natural) <= room:
        return natural
    fixed = [at for at in range(len(natural)) if at not in flexible]
    for at in fixed:
        natural[at] = min(natural[at], part.columns[at].most * whole_mm)
    taken = sum(natural[at] for at in fixed)
    most = room * (1 - _LEAST_LEFT) if flexible else room
    if taken > most:
        for at in fixed:
            natural[at] *= most / taken
        taken = most
    for at, wide in zip(flexible, _shared(part, flexible, natural, room - taken), strict=True):
        natural[at] = wide
    return natural


def _shared(
    part: Section, flexible: Sequence[int], natural: Sequence[float], left: float
) -> list[float]:
    """What is left for columns of words: by their weights, but none more than it needs."""
    if sum(natural[at] for at in flexible) <= left:
        return [natural[at] for at in flexible]
    weights = {at: part.columns[at].most for at in flexible}
    shares = {at: left * weights[at] / sum(weights.values()) for at in flexible}
    short = [at for at in flexible if natural[at] < shares[at]]
    spare = sum(shares[at] - natural[at] for at in short)
    others = [at for at in flexible if at not in short]
    for at in short:
        shares[at] = natural[at]
    for at in others:
        shares[at] += spare / len(others)
    return [shares[at] for at in flexible]


def _natural(part: Section, at: int, width: Width) -> float:
    """The widest line of a column were none broken, in mm for each point."""
    head = width(part.columns[at].head, "") * _NAME_SIZE
    paras = (para for row in part.rows for para in row[at])
    return max([head, *(_width_of(one, width) for one in paras)])


def _width_of(one: Para, width: Width) -> float:
    words = sum(width(run.text, run.style) for run in one.runs)
    return words + _BAR_ENDS * one.is_barred
