"""The shelf as a table and as fields: jars with herb in them, and those that are done."""

from collections.abc import Iterable, Sequence
from datetime import date
from functools import partial

from msgspec.structs import replace

from tracker.core.practice.practice import Practice
from tracker.core.shelf.blend import Blend
from tracker.core.shelf.end import GivenEnd, ended_word
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Batch, whole
from tracker.outputs.answer_fields import Answer, thing_fields
from tracker.outputs.terminal.heed_cells import grave_cell
from tracker.outputs.terminal.liquid_words import liquid_said
from tracker.outputs.terminal.name_column import ListedNames
from tracker.outputs.terminal.table import Cell, Column, Row, columned, width
from tracker.outputs.view.day import Step, with_steps
from tracker.outputs.view.heeds import heeds_of_row
from tracker.outputs.view.liquid import extract_view
from tracker.outputs.view.thing_view import RowView, row_of, view_of
from tracker.outputs.words.due.steps import step_style, step_text
from tracker.outputs.words.row_dates import when_in_row
from tracker.outputs.words.standing import days_said, ratio_said
from tracker.outputs.words.ways_of_making import way_said

_NAME = Column("", least=20)
_CODE = Column("CODE")
_LIQUID = Column("LIQUID", least=11, near=True)
_CHARGED = Column("CHARGED", right=True, near=True)
_RATIO = Column("RATIO", near=True)
_NEXT = Column("NEXT", least=15, near=True)
_ENDS = (Column("DAYS", right=True), Column("ENDED", least=17))  # `collected 5 Apr 25`


def shelf_table(
    jars: Sequence[Jar],
    practice: Practice,
    today: date,
    *,
    total: int,
    colour: bool,
    not_held: Sequence[Flag] = (),
) -> list[str]:
    """The jars with herb in them, the most pressing first.

    `not_held` is what holds some of a lot called back and is on no hold.
    """
    found = [
        (row_of(whole(jar), practice, today), step)
        for jar, step in with_steps(jars, practice, today, not_held)
        if step is not None
    ]
    rows = [row for row, _ in found]
    own: list[Row] = [[_next(row, step, today)] for row, step in found]
    return _table(rows, own, (_NEXT,), practice, today, total=total, colour=colour)


def _table(
    rows: Sequence[RowView],
    own: Sequence[Row],
    ends: tuple[Column, ...],
    practice: Practice,
    today: date,
    *,
    total: int,
    colour: bool,
) -> list[str]:
    """What both tables begin with, and what is each one's own.

    Where room is short names, liquids and ratios are, then ratios are left out, then days.
    """
    names = ListedNames(tuple((row.herbs, _way(row, total)) for row in rows), practice.names)
    liquids = [liquid_said(row) for row in rows]
    ratios = [_ratio(row) for row in rows]
    columns: list[tuple[Column, Sequence[str | Cell]]] = [
        (replace(_NAME, within=names.within), names.full()),
        (_CODE, [row.code for row in rows]),
        (replace(_LIQUID, within=partial(_briefer, liquids)), liquids),
        (_CHARGED, [_charged(row, practice, today) for row in rows]),
        (_ratio_column(ratios), ratios),
        *((end, [one[place] for one in own]) for place, end in enumerate(ends)),
    ]
    return columned(columns, (_RATIO, _CHARGED), total=total, colour=colour)


def _briefer(liquids: Sequence[str], cells: int) -> list[str | Cell]:
    """`vinegar` where there is no room for `cider vinegar`."""
    return [
        one if width(one) <= cells or one[-1:].isdigit() else one.split()[-1] for one in liquids
    ]


def _ratio_column(ratios: Sequence[str]) -> Column:
    """`1:5 fin.` where there is no room for `1:5 finished`."""
    short = [one.replace("finished", "fin.") for one in ratios]

    def within(cells: int) -> Sequence[str]:
        return ratios if all(width(one) <= cells for one in ratios) else short

    least = max([width(_RATIO.head), *map(width, short)])
    return replace(_RATIO, least=least, within=within)


def _charged(row: RowView, practice: Practice, today: date) -> str:
    return "–" if row.charged is None else when_in_row(row.charged, today, practice.hemisphere)


def _ratio(row: RowView) -> str:
    """`1:5`, `1:10.6`, `1:2 finished`."""
    return ratio_said(row.ratio).replace(".0", "")


def _way(row: RowView, total: int) -> str:
    """How it is made where it does not just macerate and there is room; NEXT has the verb."""
    way = way_said(row.way, row.steep_way)
    return f", {way}" if way and total > 100 else ""


def _next(row: RowView, step: Step, today: date) -> Cell:
    return Cell(step_text(step, today, row.steep_way), step_style(step))


def done_table(
    batches: Sequence[Batch],
    practice: Practice,
    today: date,
    *,
    total: int,
    colour: bool,
    not_held: Sequence[Flag] = (),
) -> list[str]:
    """The jars whose herb is out, and the blends."""
    found = [(one, row_of(whole(one), practice, today)) for one in batches]
    done = [pair for pair in found if not pair[1].is_macerating]
    rows = [row for _, row in done]
    own: list[Row] = []
    for batch, row in done:
        extracts = [extract_view(batch, one, practice, today) for one in batch.extracts]
        grave = grave_cell(heeds_of_row(row, extracts, not_held))
        own.append([days_said(row.days_on_herb), grave or _ended(row, practice, today)])
    return _table(rows, own, _ENDS, practice, today, total=total, colour=colour)


def _ended(row: RowView, practice: Practice, today: date) -> str | Cell:
    if row.end is not None:
        given = row.end.reference if isinstance(row.end, GivenEnd) else None
        to = f" for {given}" if given else ""
        on = when_in_row(row.end.on, today, practice.hemisphere)
        return f"{ended_word(row.end)} {on}{to}"
    on = when_in_row(row.begun, today, practice.hemisphere)
    return f"blended {on}" if row.kind == "blend" else ""


def shelf_fields(
    batches: Iterable[Batch], practice: Practice, today: date, not_held: Sequence[Flag] = ()
) -> list[Answer]:
    """The shelf as fields, in the same order as the table; blends come last."""
    every = list(batches)
    jars = [one for one in every if isinstance(one, Jar)]
    steps = with_steps(jars, practice, today, not_held)
    answers = [_fields(jar, practice, today, step, not_held) for jar, step in steps]
    blends = sorted(
        (one for one in every if isinstance(one, Blend)),
        key=lambda one: (one.blended.start, one.code),
    )
    return [*answers, *(_fields(one, practice, today, None, not_held) for one in blends)]


def _fields(
    batch: Batch, practice: Practice, today: date, step: Step | None, not_held: Sequence[Flag]
) -> Answer:
    view = view_of(whole(batch), practice, today, flags=not_held)
    said = None if step is None else step_text(step, today, view.row.steep_way)
    return thing_fields(view) | {"next": said}
