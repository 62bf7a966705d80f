"""The stock as a table and as fields: extracts, blends and bottles."""

from collections.abc import Iterable, Sequence
from datetime import date
from typing import TYPE_CHECKING

from msgspec.structs import replace

from tracker.core.practice.practice import Practice
from tracker.core.reckoning import keeps
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.thing import Batch, Thing, extract_of
from tracker.outputs.answer_fields import Answer, bottle_fields, thing_fields
from tracker.outputs.terminal.heed_cells import grave_cell
from tracker.outputs.terminal.name_column import listed
from tracker.outputs.terminal.table import Cell, Column, Columns, fitting
from tracker.outputs.view.heeds import heeds_of_row
from tracker.outputs.view.liquid import BottleView, ExtractView, extract_view
from tracker.outputs.view.thing_view import row_of, view_of
from tracker.outputs.words.row_dates import day_in_row
from tracker.outputs.words.standing import strength_said

if TYPE_CHECKING:
    from tracker.core.reckoning.costs import Lots

_NAME = Column("", least=18)
_CODE = Column("CODE")
_STRENGTH = Column("% VOL", right=True, near=True)
_BULK = Column("BULK ML", right=True, near=True)
_IN_ALL = Column("ML", right=True, near=True)
_GOOD = Column("GOOD THROUGH", near=True)
_COST = Column("COST", right=True, near=True)
_PER_ML = Column("PER ML", right=True, near=True)


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
    not_held: Sequence[Flag] = (),
) -> list[str]:
    """Extracts and bottles, the first to expire first; with `lots`, what they cost.

    Where room is short names are, then strengths are left out; on a narrow screen bulk and
    bottles are one sum. `not_held` is what holds some of a lot called back and is on no hold.
    """
    rows = [row_of(one, practice, today) for one in found]
    names = listed([row.herbs for row in rows], practice.names)
    extracts = [_extract(one, practice, today) for one in found]
    named: Columns = [
        (replace(_NAME, within=names.within), names.full()),
        (_CODE, [row.code for row in rows]),
    ]
    strength = (_STRENGTH, [strength_said(row) for row in rows])
    in_parts: Columns = [
        (_BULK, [f"{one.volume_ml:.0f}" for one in extracts]),
        (_bottles_head(extracts), [_bottles_in_row(one.bottles) for one in extracts]),
    ]
    in_all = (_IN_ALL, [f"{_in_all_ml(one):.0f}" for one in extracts])
    good: tuple[Column, list[Cell]] = (
        _GOOD,
        [
            grave_cell(heeds_of_row(row, [one], not_held)) or _until(one, practice, today)
            for row, one in zip(rows, extracts, strict=True)
        ],
    )
    if lots is None:
        layouts: list[Columns] = [
            [*named, strength, *in_parts, good],
            [*named, *in_parts, good],
            [*named, strength, in_all, good],
            [*named, in_all, good],
        ]
    else:
        cost, per_ml = _costs(found, lots)
        layouts = [
            [*named, strength, *in_parts, cost, per_ml, good],
            [*named, strength, in_all, cost, per_ml, good],
            [*named, in_all, cost, per_ml, good],
            [*named, in_all, cost, good],
        ]
    return fitting(layouts, total=total, colour=colour)


def _extract(thing: Thing, practice: Practice, today: date) -> ExtractView:
    assert thing.extract is not None
    return extract_view(thing.batch, thing.extract, practice, today)


def _costs(found: Sequence[Thing], lots: "Lots") -> Columns:
    """What each cost, whole and per ml."""
    from tracker.outputs.terminal.cost_lines import table_cells

    each = [table_cells(one.extract, lots) for one in found if one.extract is not None]
    return [(head, [one[place] for one in each]) for place, head in enumerate((_COST, _PER_ML))]


def _in_all_ml(extract: ExtractView) -> float:
    return extract.volume_ml + sum(one.volume_ml for one in extract.bottles)


def _bottles_head(extracts: Sequence[ExtractView]) -> Column:
    any_begun = any(one.is_begun for extract in extracts for one in extract.bottles)
    return Column("BOTTLES + BEGUN" if any_begun else "BOTTLES", near=True)


def _bottles_in_row(bottles: Sequence[BottleView]) -> str:
    """`3×100, 1×50 + 2`: the full ones by size, and how many are begun."""
    begun = sum(one.is_begun for one in bottles)
    full = bottles_text([one for one in bottles if one.is_full])
    if not begun:
        return full
    return f"+ {begun}" if full == "–" else f"{full} + {begun}"


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
    """Till when the first of it is good: a bottle may have a day of its own."""
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
    not_held: Sequence[Flag] = (),
) -> list[Answer]:
    """The stock as fields: each extract, with what is left in each of its bottles.

    With `lots`, what each cost: of an extract bulk and bottles, which add up to it.
    """
    return [_fields(one, practice, today, lots, not_held) for one in found]


def _fields(
    thing: Thing, practice: Practice, today: date, lots: "Lots | None", not_held: Sequence[Flag]
) -> Answer:
    view = view_of(thing, practice, today, flags=not_held)
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
