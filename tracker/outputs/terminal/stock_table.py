"""The stock as a table and as fields: extracts, blends and bottles."""

from collections.abc import Iterable, Sequence
from datetime import date
from typing import TYPE_CHECKING

from msgspec.structs import replace

from tracker.core.practice.practice import Practice
from tracker.core.reckoning import keeps
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.thing import Batch, Thing, extract_of
from tracker.outputs.answer_fields import Answer, bottle_fields, thing_fields
from tracker.outputs.terminal.name_column import listed
from tracker.outputs.terminal.table import Cell, Column, columned
from tracker.outputs.view.liquid import BottleView, ExtractView, extract_view
from tracker.outputs.view.thing_view import row_of, view_of
from tracker.outputs.words.holds import hold_name
from tracker.outputs.words.row_dates import day_in_row
from tracker.outputs.words.standing import strength_said

if TYPE_CHECKING:
    from tracker.core.reckoning.costs import Lots

_NAME = Column("", least=18)
_CODE = Column("CODE")
_STRENGTH = Column("% VOL", right=True)
_BULK = Column("BULK ML", right=True)
_BOTTLES = Column("BOTTLES")
_GOOD = Column("GOOD THROUGH")
_COSTS = (Column("COST", right=True), Column("PER ML", right=True))


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
    found: Sequence[Thing],
    practice: Practice,
    today: date,
    *,
    total: int,
    colour: bool,
    lots: "Lots | None" = None,
) -> list[str]:
    """Extracts and bottles, the first to expire first; with `lots`, what they cost."""
    rows = [row_of(one, practice, today) for one in found]
    names = listed([row.herbs for row in rows], practice.names)
    extracts = [_extract(one, practice, today) for one in found]
    costs = [] if lots is None else [_costs(one, lots) for one in found]
    columns: list[tuple[Column, Sequence[str | Cell]]] = [
        (replace(_NAME, within=names.within), names.full()),
        (_CODE, [row.code for row in rows]),
        (_STRENGTH, [strength_said(row) for row in rows]),
        (_BULK, [f"{one.volume_ml:.0f}" for one in extracts]),
        (_BOTTLES, [bottles_text(one.bottles) for one in extracts]),
        *((head, [one[place] for one in costs]) for place, head in enumerate(_COSTS) if costs),
        (_GOOD, [_until(one, practice, today) for one in extracts]),
    ]
    return columned(
        columns, (_BOTTLES, _STRENGTH, _BULK) if costs else (_STRENGTH,), total=total, colour=colour
    )


def _extract(thing: Thing, practice: Practice, today: date) -> ExtractView:
    assert thing.extract is not None
    return extract_view(thing.batch, thing.extract, practice, today)


def _costs(thing: Thing, lots: "Lots") -> tuple[str, ...]:
    from tracker.outputs.terminal.cost_lines import table_cells

    assert thing.extract is not None
    return table_cells(thing.extract, lots)


def bottles_text(bottles: Sequence[BottleView]) -> str:
    """Full bottles by size, then those begun: `3×100, 1 begun`."""
    full: dict[float, int] = {}
    for one in bottles:
        if one.is_full:
            full[one.size_ml] = full.get(one.size_ml, 0) + 1
    begun = sum(one.is_begun for one in bottles)
    parts = [f"{count}×{size:.0f}" for size, count in sorted(full.items(), reverse=True)]
    return ", ".join([*parts, *([f"{begun} begun"] if begun else [])]) or "–"


def _until(extract: ExtractView, practice: Practice, today: date) -> Cell:
    """Till when the first of it is good: a bottle may have a day of its own, or a hold."""
    left = [one for one in extract.bottles if one.volume_ml >= DROP_ML]
    held = extract.hold or next((one.hold for one in left if one.hold is not None), None)
    if held is not None:
        some = "" if extract.hold else ", some"
        return Cell(f"{hold_name(held).upper()}{some}", "bad")
    last = extract.first_to_end
    if last is None:
        return Cell("WEAK" if extract.is_some_weak else "not known", "warn")
    day, weak = day_in_row(last, today), " WEAK" if extract.is_some_weak else ""
    if last < today:
        return Cell(f"{day} PAST{weak}", "bad")
    is_soon = practice.expiring_before.after(today) >= last
    in_days = f", {(last - today).days} d" if is_soon else ""
    return Cell(f"{day}{in_days}{weak}", "bad" if weak else "warn" if is_soon else "")


def stock_fields(
    found: Iterable[Thing],
    practice: Practice,
    today: date,
    lots: "Lots | None" = None,
) -> list[Answer]:
    """The stock as fields: each extract, with what is left in each of its bottles.

    With `lots`, what each cost: of an extract bulk and bottles, which add up to it.
    """
    return [_fields(one, practice, today, lots) for one in found]


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
