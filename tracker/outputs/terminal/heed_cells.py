"""What to heed first, as a cell of a list."""

from collections.abc import Iterable

from tracker.outputs.terminal.table import Cell
from tracker.outputs.view.heeds import Heed
from tracker.outputs.words.heed_words import heed_mark


def grave_cell(heeds: Iterable[Heed]) -> Cell | None:
    """`ON HOLD`, `RECALLED, some`: what comes before any day; None without."""
    first = next((one for one in heeds if one.is_grave or one.kind == "spoilage"), None)
    if first is None:
        return None
    mark, *some = heed_mark(first).rsplit(", some", 1)
    return Cell(f"{mark.upper()}{', some' if some else ''}", "bad")
