"""What is due, as a table and as fields."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from tracker.core.rules.reminders import Due
from tracker.outputs.terminal.table import Cell, Column, Row, table
from tracker.outputs.words.due_lines import why_due
from tracker.outputs.words.steps import style_of

if TYPE_CHECKING:
    from tracker.outputs.answer_fields import Answer

_DUE = (Column("CODE", least=24), Column("WANTS"), Column("WHY", least=20))


def due_table(lines: Sequence[Due], *, total: int, colour: bool) -> list[str]:
    """One line a code."""
    rows: list[Row] = [
        [line.code, Cell(line.what, style_of(line.what)), why_due(line)] for line in lines
    ]
    return table(_DUE, rows, total=total, colour=colour)


def due_fields(lines: Sequence[Due]) -> "list[Answer]":
    """One object a code."""
    return [
        {
            "code": one.code,
            "what": one.what,
            "since": one.since.isoformat(),
            "why": why_due(one),
        }
        for one in lines
    ]
