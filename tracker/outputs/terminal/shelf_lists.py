"""What the asking verbs print: the shelf, the stock, what is due."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from typing import TYPE_CHECKING, assert_never

from tracker.core.practice.practice import Practice
from tracker.core.reckoning import amounts
from tracker.core.rules.reminders import ORDER, Due, Risk, What, due, next_shake
from tracker.core.shelf.blend import Blend
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.extract import Extract
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Batch, Thing, bottle_of, extract_of, whole
from tracker.core.values.times import LONG_AGO
from tracker.outputs.terminal.table import Cell, Column, table
from tracker.outputs.view.answers import (
    Answer,
    days_text,
    ending,
    ratio_text,
    state,
    strength_text,
    summary,
)
from tracker.outputs.words.plant_names import herb_name, narrow_name

if TYPE_CHECKING:
    from tracker.core.reckoning.costs import Lots

_HERB_CELLS = 24

_SHELF = (
    Column("CODE", least=12),
    Column("HERB", least=14),
    Column("CHARGED", least=10),
    Column("RATIO", right=True),
    Column("% VOL", right=True),
    Column("NEXT", least=14),
)
_STOCK = (
    Column("CODE", least=13),
    Column("HERB", least=14),
    Column("% VOL", right=True),
    Column("BULK ML", right=True),
    Column("BOTTLES", least=9),
    Column("GOOD THROUGH"),
)
# Cost takes the place of strength and days left: 80 cells hold no more.
_COSTED = (
    _STOCK[0],
    Column("HERB", least=10),
    _STOCK[3],
    Column("BOTTLES", least=7),
    Column("COST", right=True),
    Column("PER ML", right=True),
    Column("GOOD TO"),
)
Row = list[str | Cell]

_DUE = (Column("CODE"), Column("WANTS"), Column("WHY", least=20))


def _style(what: What) -> str:
    match what:
        case "safety" | "past-longest" | "expired":
            return "bad"
        case "shake" | "look" | "expiring":
            return "warn"
        case "ready":
            return "good"
        case "away" | "count":
            return ""
        case _:
            assert_never(what)


def _herb(batch: Batch, total: int) -> str:
    """The herb for a column: the genus in full where the screen has room for it."""
    name = herb_name(batch)
    return name if total > 100 else narrow_name(name, _HERB_CELLS)


def next_step(jar: Jar, practice: Practice, today: date) -> tuple[date, Cell]:
    """What a jar wants next and on which day: the key the shelf is sorted by."""
    lines = due([jar], practice, today)
    if lines:
        line = lines[0]
        return LONG_AGO + timedelta(days=ORDER.index(line.what)), Cell(
            _short(line, today), _style(line.what)
        )
    ready, shake = amounts.earliest_press(jar), next_shake(jar, today)
    if amounts.is_ready(jar, today):
        return today, Cell(f"ready {_for_days(today, ready)}", "good")
    if shake is not None and shake < ready:
        return shake, Cell(f"shake {_in_days(shake, today)}")
    return ready, Cell(f"press {_in_days(ready, today)}")


def _in_days(day: date, today: date) -> str:
    away = (day - today).days
    return "tomorrow" if away == 1 else f"in {away} d"


def _for_days(today: date, since: date) -> str:
    passed = (today - since).days
    return "today" if passed == 0 else f"for {passed} d"


_RISKS: dict[Risk, str] = {
    "hold": "on hold",
    "mould": "mould was seen",
    "lid": "bare metal lid",
}


def _short(line: Due, today: date) -> str:
    passed = (today - line.since).days
    match line.what:
        case "ready":
            return f"ready {_for_days(today, line.since)}"
        case "past-longest":
            return f"{passed} d past longest"
        case "safety":
            return "safety" if line.risk is None else _RISKS[line.risk]
        case _:
            return f"{line.what} today" if passed == 0 else f"{line.what}, {passed} d late"


def shelf(
    jars: Sequence[Jar], practice: Practice, today: date, *, total: int, colour: bool
) -> list[str]:
    """The jars with herb in them, what wants the maker first."""
    steps = [(*next_step(jar, practice, today), jar) for jar in jars if jar.is_macerating]
    steps.sort(key=lambda step: (step[0], step[2].charged.start, step[2].code))
    rows: list[Row] = [
        [
            jar.code,
            _herb(jar, total),
            str(jar.charged),
            ratio_text(jar),
            strength_text(jar),
            cell,
        ]
        for _, cell, jar in steps
    ]
    return table(_SHELF, rows, total=total, colour=colour)


def done(batches: Sequence[Batch], today: date, *, total: int, colour: bool) -> list[str]:
    """The jars whose herb is out, and the blends."""
    code, _, *rest, _ = _SHELF
    ends = (Column("DAYS", right=True), Column("ENDED", least=18))  # `pressed 2025-04-05`
    columns = (code, Column("HERB", least=10), *rest, *ends)
    rows: list[Row] = [
        [
            one.code,
            _herb(one, total),
            str(one.charged) if isinstance(one, Jar) else "–",
            ratio_text(one),
            strength_text(one.contents),
            days_text(one, today) if isinstance(one, Jar) else "–",
            ending(one),
        ]
        for one in batches
        if isinstance(one, Blend) or not one.is_macerating
    ]
    return table(columns, rows, total=total, colour=colour)


def in_stock(batches: Iterable[Batch]) -> list[tuple[Batch, Extract]]:
    """Every extract with anything left, the first to expire first."""
    found = [(batch, one) for batch in batches for one in batch.extracts if one.left_ml >= DROP_ML]
    return sorted(found, key=lambda pair: (pair[1].good_through, pair[0].code))


def stock(
    batches: Iterable[Batch],
    practice: Practice,
    today: date,
    *,
    total: int,
    colour: bool,
    lots: "Lots | None" = None,
) -> list[str]:
    """Extracts and bottles, the first to expire first; with `lots`, what they cost."""
    rows: list[Row] = [
        [
            batch.extract_code(extract),
            _herb(batch, total),
            *([] if lots is not None else [strength_text(extract.made)]),
            f"{extract.volume_ml:.0f}",
            bottles(extract),
            *_costs(extract, lots),
            Cell("ON HOLD", "bad")
            if extract_of(batch, extract).on_hold
            else _good_through(extract, practice, today, short=lots is not None),
        ]
        for batch, extract in in_stock(batches)
    ]
    return table(_STOCK if lots is None else _COSTED, rows, total=total, colour=colour)


def _costs(extract: Extract, lots: "Lots | None") -> tuple[str, ...]:
    if lots is None:
        return ()
    from tracker.outputs.terminal.cost_lines import table_cells

    return table_cells(extract, lots)


def bottles(extract: Extract) -> str:
    """Full bottles by size, then those begun: `3×100, 1 begun`."""
    full: dict[float, int] = {}
    begun = 0
    for bottle in extract.bottles:
        if bottle.volume_ml >= bottle.size_ml - DROP_ML:
            full[bottle.size_ml] = full.get(bottle.size_ml, 0) + 1
        elif bottle.volume_ml >= DROP_ML:
            begun += 1
    parts = [f"{count}×{size:.0f}" for size, count in sorted(full.items(), reverse=True)]
    return ", ".join([*parts, *([f"{begun} begun"] if begun else [])]) or "–"


def _good_through(
    extract: Extract, practice: Practice, today: date, *, short: bool = False
) -> Cell:
    last = extract.good_through
    left = amounts.days_left(extract, today)
    if left < 0:
        return Cell(f"{last} PAST", "bad")
    soon = practice.expiring_before.after(today) >= last
    return Cell(str(last) if short else f"{last} {left} d", "warn" if soon else "")


def due_table(lines: Sequence[Due], *, total: int, colour: bool) -> list[str]:
    """What wants the maker, one line a code."""
    rows: list[Row] = [[line.code, Cell(line.what, _style(line.what)), line.why] for line in lines]
    return table(_DUE, rows, total=total, colour=colour)


def shelf_answers(batches: Iterable[Batch], practice: Practice, today: date) -> list[Answer]:
    """The shelf as fields, in the same order as the table; blends come last."""
    jars = [one for one in batches if isinstance(one, Jar)]
    steps = sorted(
        ((next_step(jar, practice, today), jar) for jar in jars),
        key=lambda step: (step[0][0], step[1].charged.start, step[1].code),
    )
    answers = [summary(whole(jar), today) | {"next": step[1].text} for step, jar in steps]
    blends = sorted(
        (one for one in batches if isinstance(one, Blend)),
        key=lambda one: (one.blended.start, one.code),
    )
    return [*answers, *(summary(whole(one), today) | {"next": None} for one in blends)]


def stock_answers(
    batches: Iterable[Batch], today: date, lots: "Lots | None" = None, currency: str = ""
) -> list[Answer]:
    """The stock as fields: each extract, with what is left in each of its bottles.

    With `lots`, what each cost: of an extract bulk and bottles, which add up to it.
    """
    answers = []
    for batch, extract in in_stock(batches):
        thing = extract_of(batch, extract)
        costs: Answer = {}
        parts: dict[int, Answer] = {}
        if lots is not None:
            from tracker.outputs.terminal import (
                cost_lines,  # fractions load slowly; `shelf` needs none
            )

            parts = cost_lines.in_parts(thing, lots)
            costs = cost_lines.cost_answer(thing, lots, currency)
            costs["bulk_cost"] = parts[0]["cost"]
        left = _bottles_left(thing, today, parts)
        answers.append(summary(thing, today) | costs | {"bottles": left})
    return answers


def _bottles_left(thing: Thing, today: date, costs: Mapping[int, Answer]) -> list[Answer]:
    assert thing.extract is not None
    return [
        {
            "code": f"{thing.code}/{bottle.number}",
            "size_ml": bottle.size_ml,
            "volume_ml": bottle.volume_ml,
            "state": state(bottle_of(thing.batch, thing.extract, bottle), today),
            **costs.get(bottle.number, {}),
        }
        for bottle in thing.extract.bottles
    ]
