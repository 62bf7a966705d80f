"""A stocktake in words: what is asked, the sheet to fill in by hand, and what came of it."""

from collections.abc import Iterator, Sequence
from datetime import date
from fractions import Fraction
from itertools import groupby

from tracker.core.practice.practice import PlantNames
from tracker.core.reckoning.shelf_count import Counting, Found, ToCount
from tracker.core.shelf.contents import DROP_ML
from tracker.core.values.day_words import short_day
from tracker.core.values.text import shown
from tracker.outputs.answer_fields import Answer, rounded
from tracker.outputs.terminal.cost_lines import money
from tracker.outputs.terminal.lot_names import lot_called
from tracker.outputs.terminal.table import cut, styled, width
from tracker.outputs.terminal.wrapping import wrapped
from tracker.outputs.view.made import herbs_of
from tracker.outputs.words.amount_words import plain
from tracker.outputs.words.plant_names import called

_NAMED = 6  # of what was not counted; more would fill the screen
_SHEET_CELLS = 80
_LOTS, _NO_PLACE = "herb and spirit in store", "place not known"


def place_of(item: ToCount) -> str:
    """The heading it stands below."""
    return _LOTS if item.lot is not None else item.place or _NO_PLACE


def name_of(item: ToCount, names: PlantNames) -> str:
    """What it is called: `lemon balm leaf, dried`."""
    if item.lot is not None:
        return lot_called(item.lot, names)
    assert item.thing is not None
    return called(herbs_of(item.thing.batch, item.thing.made), names)


def book_said(item: ToCount) -> str:
    """What the book says there is of it: `640 ml in bulk`, `3 × 100 ml (1–3)`."""
    own = item.own[0]
    if item.size_ml is not None:
        numbers = _numbers([one.about.bottle or 0 for one in item.own])
        return f"{len(item.own)} × {item.size_ml:g} ml ({numbers})"
    if item.thing is not None and item.thing.bottle is not None:
        return f"{plain(own.book, 'ml')} of {item.thing.bottle.size_ml:g} ml"
    return plain(own.book, own.unit) + ("" if item.lot is not None else " in bulk")


def _numbers(numbers: Sequence[int]) -> str:
    """`1–3, 5`."""
    runs = []
    for _, run in groupby(enumerate(sorted(numbers)), key=lambda one: one[1] - one[0]):
        own = [number for _, number in run]
        runs.append(f"{own[0]}–{own[-1]}" if len(own) > 1 else f"{own[0]}")
    return ", ".join(runs)


def _held(item: ToCount) -> str:
    """`on hold`, or of some bottles alone `number 1–3 on hold`; empty where none is."""
    numbers = item.bottles_on_hold
    if item.is_held_whole or len(numbers) == len(item.own):
        return "on hold"
    return f"number {_numbers(numbers)} on hold" if numbers else ""


def question(item: ToCount, names: PlantNames, at: str, total: int) -> tuple[list[str], str]:
    """The lines above a question, and the question: what, which, and what the book says."""
    name, code, book = shown(name_of(item, names)), shown(item.code), book_said(item)
    held = _held(item).upper()
    hold = [f"    {held}: counted, and stays on hold"] if held else []
    one = f"{at}  {name}  {code}  {book}"
    if not hold and width(one) + 12 <= total:
        return [], one
    above = wrapped(f"{at}  {name}", total)
    return [*above, *hold], f"    {code}  {book}"


def sheet_lines(items: Sequence[ToCount], names: PlantNames, today: date) -> list[str]:
    """A page to fill in by hand: behind each sign of equality what is there."""
    lines = [
        f"# Stocktake, {short_day(today)}",
        "# Behind each = write what is there: an amount, a number of bottles, ok for as",
        "# the book says, - for not there. What stays empty is not counted. Then, with",
        "# the day you counted:",
        f"#   stillroom stocktake FILE --when {today}",
    ]
    cells = max((width(shown(one.label)) for one in items), default=0)
    for place, own in groupby(items, key=place_of):
        lines += ["", f"# {shown(place)}"]
        for one in own:
            label = shown(one.label)
            book = f"{book_said(one):<20}"
            start = f"{label}{' ' * (cells - width(label))} =          # {book} "
            held = _held(one)
            hold = f", {held}" if held else ""
            room = max(_SHEET_CELLS - width(start) - len(hold), 12)
            lines.append(f"{start}{cut(shown(name_of(one, names)), room)}{hold}")
    return lines


def summary(
    found: Sequence[Found],
    skipped: Sequence[ToCount],
    names: PlantNames,
    currency: str,
    *,
    total: int,
    colour: bool,
) -> list[str]:
    """What is unaccounted, what was found beyond the book, and what was not counted."""
    lines: list[str] = []
    for head, sign in (("unaccounted", 1), ("found beyond the book", -1)):
        rows = [row for one in found for row in _rows(one, sign, names, currency, total)]
        if rows:
            style = "warn" if sign > 0 else ""
            lines += [styled(head, style or "bold", colour=colour), *rows]
            whole = wrapped(f"in all {_in_all(found, sign, currency)}", total - 2)
            lines += [f"  {line}" for line in whole]
    alike = sum(not one.differs for one in found)
    lines.append(f"as the book says: {alike}")
    if skipped:
        left = ", ".join(shown(one.label) for one in skipped[:_NAMED])
        more = len(skipped) - _NAMED
        left += f", and {more} more" if more > 0 else ""
        lines += wrapped(f"not counted: {len(skipped)} ({left})", total)
    return lines


def _rows(one: Found, sign: int, names: PlantNames, currency: str, total: int) -> Iterator[str]:
    own = [each for each in one.counted if each.differs and each.missing * sign > 0]
    if not own:
        return
    cost = _sum_of_costs(own)
    paid = f"  {money(abs(cost), currency)}" if cost else ""
    text = f"{shown(one.item.code)}  {_missing(one.item, own)}{paid}"
    name = shown(name_of(one.item, names))
    if 2 + width(name) + 2 + width(text) <= total:
        yield f"  {name}  {text}"
    else:
        yield from (f"  {line}" for line in wrapped(name, total - 2))
        yield from (f"    {line}" for line in wrapped(text, total - 4))


def _missing(item: ToCount, own: Sequence[Counting]) -> str:
    """`12 ml`; of bottles which numbers, and what is in those that are begun."""
    if item.size_ml is None:
        return plain(abs(own[0].missing), own[0].of.unit)
    whole = [one for one in own if one.there < DROP_ML or one.of.book < DROP_ML]
    parts = []
    if whole:
        numbers = _numbers([one.of.about.bottle or 0 for one in whole])
        which = "number" if len(whole) == 1 else "numbers"
        parts.append(f"{_bottles(len(whole))} of {item.size_ml:g} ml ({which} {numbers})")
    parts += [
        f"{plain(abs(one.missing), 'ml')} of number {one.of.about.bottle}"
        for one in own
        if one not in whole
    ]
    return ", ".join(parts)


def _bottles(count: int) -> str:
    return f"{count} bottle{'' if count == 1 else 's'}"


def _in_all(found: Sequence[Found], sign: int, currency: str) -> str:
    own = [
        (one.item, each)
        for one in found
        for each in one.counted
        if each.differs and each.missing * sign > 0
    ]
    parts = []
    for unit in ("ml", "g"):
        much = sum(abs(each.missing) for _, each in own if each.of.unit == unit)
        parts += [plain(much, unit)] if much else []
    whole = sum(item.size_ml is not None and each.there < DROP_ML for item, each in own)
    parts += [_bottles(whole)] if whole else []
    cost = _sum_of_costs([each for _, each in own])
    is_part = any(each.cost is None for _, each in own)
    if cost:
        parts.append(f"{money(abs(cost), currency)}{' as far as known' if is_part else ''}")
    return ", ".join(parts)


def _sum_of_costs(own: Sequence[Counting]) -> Fraction | None:
    known = [one.cost for one in own if one.cost is not None]
    return sum(known, Fraction(0)) if known else None


def found_fields(found: Sequence[Found]) -> list[Answer]:
    """What was counted, as fields: one object for each thing."""
    return [
        {
            "code": each.of.code,
            "place": one.item.place,
            "unit": each.of.unit,
            "book": rounded(each.of.book),
            "there": rounded(each.there),
            "unaccounted": rounded(each.missing),
            "cost": money(each.cost),
            "on_hold": one.item.is_held_whole or each.of.about.bottle in one.item.bottles_on_hold,
        }
        for one in found
        for each in one.counted
    ]


def sheet_fields(items: Sequence[ToCount]) -> list[Answer]:
    """What there is to count, as fields."""
    return [
        {
            "label": one.label,
            "kind": one.kind,
            "place": one.place,
            "book": rounded(one.book),
            "unit": one.own[0].unit,
            "bottles": len(one.own) if one.size_ml is not None else None,
            "size_ml": one.size_ml,
            "on_hold": one.on_hold,
            "bottles_on_hold": one.bottles_on_hold,
        }
        for one in items
    ]


def as_sheet(found: Sequence[Found]) -> list[str]:
    """What was counted in the lines of a sheet."""
    return [shown(f"{one.item.label} = {_as_said(one)}") for one in found]


def _as_said(one: Found) -> str:
    if one.item.size_ml is None:
        only = one.counted[0]
        return only.written or (plain(only.there, only.of.unit) if only.differs else "ok")
    full = [each for each in one.counted if each.there and not each.differs]
    begun = [each for each in one.counted if each.there and each.differs]
    parts = [f"/{each.of.about.bottle} {plain(each.there, 'ml')}" for each in begun]
    return ", ".join([str(len(full)), *parts])
