"""Jars with herb in and liquids in stock, as the rows of the page's lists."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date

import msgspec

from tracker.core.practice.practice import Practice
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Batch, whole
from tracker.core.values.times import When
from tracker.outputs.page.page_marks import Heeded, Mark, marks_of
from tracker.outputs.page.page_names import Anchors, PageName, page_name
from tracker.outputs.terminal.stock_table import bottles_text, in_stock
from tracker.outputs.view.day import with_steps
from tracker.outputs.view.thing_view import RowView, ThingView, row_of
from tracker.outputs.words.due.steps import step_text
from tracker.outputs.words.standing import ratio_said, strength_said


class JarRow(msgspec.Struct, frozen=True):
    """A jar with herb in it, in one line."""

    name: PageName
    next: str
    marks: tuple[Mark, ...]
    ratio: str
    strength: str
    charged: When | None
    place: str


class StockRow(msgspec.Struct, frozen=True):
    """An extract or a blend in stock, in one line.

    Attributes:
        last: the first day that ends some of it; None where nobody knows.
        days_left: where it ends soon.
    """

    name: PageName
    marks: tuple[Mark, ...]
    left_ml: str
    bottles: str
    strength: str
    last: date | None
    is_past: bool
    days_left: int | None
    place: str


def jar_rows(
    live: Sequence[Batch],
    views: Mapping[str, ThingView],
    heeds: Heeded,
    practice: Practice,
    today: date,
    anchors: Anchors,
) -> Iterator[JarRow]:
    """The jars with herb in, the most pressing first."""
    jars = [one for one in live if isinstance(one, Jar) and one.is_macerating]
    for jar, step in with_steps(jars, practice, today):
        row = views[jar.id].row
        marks = marks_of(heeds[row.code], today)
        said = "" if step is None else step_text(step, today, row.steep_way)
        yield JarRow(
            page_name(whole(jar), anchors, practice.names),
            "" if any(said == one.text for one in marks) else said,
            tuple(marks),
            ratio_of_row(row),
            strength_of_row(row),
            row.charged,
            row.place or "",
        )


def stock_rows(
    live: Sequence[Batch],
    views: Mapping[str, ThingView],
    heeds: Heeded,
    practice: Practice,
    today: date,
    anchors: Anchors,
) -> Iterator[StockRow]:
    """What there is in stock, the first to expire first."""
    soon = practice.expiring_before.after(today)
    for thing in in_stock(live, practice):
        extract_id = thing.extract and thing.extract.id
        extract = next(one for one in views[thing.batch.id].extracts if one.id == extract_id)
        last = extract.first_to_end
        is_soon = last is not None and today <= last <= soon
        yield StockRow(
            page_name(thing, anchors, practice.names),
            tuple(marks_of(heeds[thing.code], today)),
            f"{extract.left_ml:.0f}",
            _bottles(bottles_text(extract.bottles)),
            strength_of_row(row_of(thing, practice, today)),
            last,
            last is not None and last < today,
            (last - today).days if last is not None and is_soon else None,
            extract.place or "",
        )


def _bottles(text: str) -> str:
    return "" if text == "–" else f"bottles\N{NO-BREAK SPACE}{text}"


def strength_of_row(row: RowView) -> str:
    """`~45 % vol`, `no alcohol`, or that it is not known: a dash would say either."""
    said = strength_said(row)
    if said != "–":
        return f"{said}\N{NO-BREAK SPACE}%\N{NO-BREAK SPACE}vol"
    return "no alcohol" if row.simple_strength_pct_vol == 0 else "strength not known"


def ratio_of_row(row: RowView) -> str:
    """`1:5`, `1:5 finished`, or that there is none to say."""
    return "no ratio known" if row.ratio is None else ratio_said(row.ratio)
