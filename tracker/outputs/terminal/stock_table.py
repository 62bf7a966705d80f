"""The stock as a table and as fields: extracts, blends and bottles."""

from collections.abc import Iterable, Sequence
from datetime import date
from typing import TYPE_CHECKING

from tracker.core.practice.practice import Practice
from tracker.core.reckoning import keeps
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.thing import Batch, Thing, extract_of
from tracker.outputs.answer_fields import Answer, bottle_fields, thing_fields
from tracker.outputs.terminal.table import Cell, Column, Row, table
from tracker.outputs.view.liquid import BottleView, ExtractView, extract_view
from tracker.outputs.view.thing_view import row_of, view_of
from tracker.outputs.words.holds import hold_name
from tracker.outputs.words.plant_names import narrow_herbs
from tracker.outputs.words.standing import strength_said

if TYPE_CHECKING:
    from tracker.core.reckoning.costs import Lots

_STOCK = (
    Column("CODE", least=13),
    Column("HERB", least=14, listed=True),
    Column("% VOL", right=True),
    Column("BULK ML", right=True),
    Column("BOTTLES", least=9),
    Column("GOOD THROUGH"),
)
# Cost takes the place of strength and days left: 80 cells hold no more.
_COSTED = (
    _STOCK[0],
    Column("HERB", least=10, listed=True),
    _STOCK[3],
    Column("BOTTLES", least=7),
    Column("COST", right=True),
    Column("PER ML", right=True),
    Column("GOOD TO"),
)


def in_stock(batches: Iterable[Batch], practice: Practice) -> list[Thing]:
    """Every extract and blend with anything left, the first to expire first.

    What no date is known of comes before them: somebody has to look.
    """
    found = [
        (
            keeps.first_to_end(batch, one, practice)[0] or date.min,
            batch.code,
            extract_of(batch, one),
        )
        for batch in batches
        for one in batch.extracts
        if one.left_ml >= DROP_ML
    ]
    return [one for *_, one in sorted(found, key=lambda pair: pair[:2])]


def stock_table(
    batches: Iterable[Batch],
    practice: Practice,
    today: date,
    *,
    total: int,
    colour: bool,
    lots: "Lots | None" = None,
) -> list[str]:
    """Extracts and bottles, the first to expire first; with `lots`, what they cost."""
    rows = [_row(one, practice, today, total, lots) for one in in_stock(batches, practice)]
    return table(_STOCK if lots is None else _COSTED, rows, total=total, colour=colour)


def _row(thing: Thing, practice: Practice, today: date, total: int, lots: "Lots | None") -> Row:
    assert thing.extract is not None
    row, extract = (
        row_of(thing, practice, today),
        extract_view(thing.batch, thing.extract, practice, today),
    )
    costs: tuple[str, ...] = ()
    if lots is not None:
        from tracker.outputs.terminal.cost_lines import table_cells

        costs = table_cells(thing.extract, lots)
    return [
        row.code,
        narrow_herbs(row.herbs, total),
        *([] if lots is not None else [strength_said(row)]),
        f"{extract.volume_ml:.0f}",
        bottles_text(extract.bottles),
        *costs,
        _until(extract, practice, today, short=lots is not None),
    ]


def bottles_text(bottles: Sequence[BottleView]) -> str:
    """Full bottles by size, then those begun: `3×100, 1 begun`."""
    full: dict[float, int] = {}
    for one in bottles:
        if one.is_full:
            full[one.size_ml] = full.get(one.size_ml, 0) + 1
    begun = sum(one.is_begun for one in bottles)
    parts = [f"{count}×{size:.0f}" for size, count in sorted(full.items(), reverse=True)]
    return ", ".join([*parts, *([f"{begun} begun"] if begun else [])]) or "–"


def _until(extract: ExtractView, practice: Practice, today: date, *, short: bool) -> Cell:
    """Till when the first of it is good: a bottle may have a day of its own, or a hold."""
    left = [one for one in extract.bottles if one.volume_ml >= DROP_ML]
    held = extract.hold or next((one.hold for one in left if one.hold is not None), None)
    if held is not None:
        some = "" if extract.hold else ", some"
        return Cell(f"{hold_name(held).upper()}{some}", "bad")
    last = extract.first_to_end
    if last is None:
        return Cell("WEAK" if extract.is_some_weak else "not known", "warn")
    days = (last - today).days
    weak = " WEAK" if extract.is_some_weak else ""
    if days < 0:
        return Cell(f"{last} PAST{weak}", "bad")
    soon = practice.expiring_before.after(today) >= last
    style = "bad" if weak else "warn" if soon else ""
    return Cell(f"{last}{'' if short else f' {days} d'}{weak}", style)


def stock_fields(
    batches: Iterable[Batch],
    practice: Practice,
    today: date,
    lots: "Lots | None" = None,
) -> list[Answer]:
    """The stock as fields: each extract, with what is left in each of its bottles.

    With `lots`, what each cost: of an extract bulk and bottles, which add up to it.
    """
    return [_fields(one, practice, today, lots) for one in in_stock(batches, practice)]


def _fields(thing: Thing, practice: Practice, today: date, lots: "Lots | None") -> Answer:
    view = view_of(thing, practice, today)
    assert view.extract is not None
    costs: Answer = {}
    parts: dict[int, Answer] = {}
    if lots is not None:
        from tracker.outputs.terminal import cost_lines  # fractions load slowly

        parts = cost_lines.in_parts(thing, lots)
        costs = cost_lines.cost_answer(thing, lots, practice.currency)
        costs["bulk_cost"] = parts[0]["cost"]
    bottles = [bottle_fields(one) | parts.get(one.number, {}) for one in view.extract.bottles]
    return thing_fields(view) | costs | {"bottles": bottles}
