"""The shelf as a table and as fields: jars with herb in them, and those that are done."""

from collections.abc import Iterable, Sequence
from datetime import date

from tracker.core.practice.practice import Practice
from tracker.core.shelf.blend import Blend
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Batch, whole
from tracker.outputs.answer_fields import Answer, thing_fields
from tracker.outputs.terminal.table import Cell, Column, Row, table
from tracker.outputs.view.day import Step, with_steps
from tracker.outputs.view.thing_view import RowView, row_of, view_of
from tracker.outputs.words.holds import hold_name
from tracker.outputs.words.plant_names import narrow_herbs
from tracker.outputs.words.standing import days_said, ending, ratio_said, strength_said
from tracker.outputs.words.steps import step_style, step_text
from tracker.outputs.words.ways_of_making import way_said

_SHELF = (
    Column("CODE", least=12),
    Column("HERB", least=14, listed=True),
    Column("CHARGED", least=10),
    Column("RATIO", right=True),
    Column("% VOL", right=True),
    Column("NEXT", least=14),
)


def shelf_table(
    jars: Sequence[Jar], practice: Practice, today: date, *, total: int, colour: bool
) -> list[str]:
    """The jars with herb in them, the most pressing first."""
    found = (
        (row_of(whole(jar), practice, today), step)
        for jar, step in with_steps(jars, practice, today)
    )
    rows = [
        [*_cells(row, total), _next(row, step, today)] for row, step in found if step is not None
    ]
    return table(_SHELF, rows, total=total, colour=colour)


def _cells(row: RowView, total: int) -> Row:
    """What both tables begin with."""
    return [
        row.code,
        narrow_herbs(row.herbs, total) + _way(row, total),
        "–" if row.charged is None else str(row.charged),
        ratio_said(row.ratio),
        strength_said(row),
    ]


def _way(row: RowView, total: int) -> str:
    """How it is made where it does not just macerate and there is room; NEXT has the verb."""
    way = way_said(row.way, row.steep_way)
    return f", {way}" if way and total > 100 else ""


def _next(row: RowView, step: Step, today: date) -> Cell:
    return Cell(step_text(step, today, row.steep_way), step_style(step))


def done_table(
    batches: Sequence[Batch], practice: Practice, today: date, *, total: int, colour: bool
) -> list[str]:
    """The jars whose herb is out, and the blends."""
    code, _, *rest, _ = _SHELF
    ends = (Column("DAYS", right=True), Column("ENDED", least=21))  # `collected 2025-04-05`
    columns = (code, Column("HERB", least=10, listed=True), *rest, *ends)
    found = (row_of(whole(one), practice, today) for one in batches)
    rows = [
        [*_cells(row, total), days_said(row.days_on_herb), _ended(row)]
        for row in found
        if not row.is_macerating
    ]
    return table(columns, rows, total=total, colour=colour)


def _ended(row: RowView) -> str | Cell:
    return ending(row) if row.hold is None else Cell(hold_name(row.hold).upper(), "bad")


def shelf_fields(batches: Iterable[Batch], practice: Practice, today: date) -> list[Answer]:
    """The shelf as fields, in the same order as the table; blends come last."""
    every = list(batches)
    jars = [one for one in every if isinstance(one, Jar)]
    answers = [
        _fields(jar, practice, today, step) for jar, step in with_steps(jars, practice, today)
    ]
    blends = sorted(
        (one for one in every if isinstance(one, Blend)),
        key=lambda one: (one.blended.start, one.code),
    )
    return [*answers, *(_fields(one, practice, today, None) for one in blends)]


def _fields(batch: Batch, practice: Practice, today: date, step: Step | None) -> Answer:
    view = view_of(whole(batch), practice, today)
    said = None if step is None else step_text(step, today, view.row.steep_way)
    return thing_fields(view) | {"next": said}
