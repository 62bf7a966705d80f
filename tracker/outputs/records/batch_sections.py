"""A batch record as headings with rows of cells: the same on the screen and on paper."""

from collections.abc import Iterable, Sequence
from datetime import tzinfo
from typing import Final

from tracker.outputs.records import batch_words
from tracker.outputs.records.batch_parts import BlendPart, Component, ExtractYield, Record
from tracker.outputs.records.bottle_runs import COLUMNS as BOTTLES
from tracker.outputs.records.bottle_runs import bottle_rows
from tracker.outputs.records.record_table import (
    NOBODY,
    Para,
    RecordCell,
    RecordColumn,
    RecordRow,
    Section,
    barred,
    cell,
    latin_led,
    listed,
    named,
    para,
    plant_para,
    tabled,
)
from tracker.outputs.records.step_sections import amended_section, holds, labels, steps
from tracker.outputs.words.amount_words import ml

NO_CAUTIONS: Final = "none in the tables; that does not mean that there are none"
_BY: Final = RecordColumn("BY", 0.16)
_INTO: Final = (
    RecordColumn("DAY", 0.24),
    RecordColumn("WHAT", 0.8, is_flexible=True),
    RecordColumn("MUCH", 0.24),
    RecordColumn("LOT", 0.7, is_flexible=True),
    _BY,
)
_FROM: Final = (
    RecordColumn("CODE", 0.18),
    RecordColumn("WHAT", 1.0, is_flexible=True),
    RecordColumn("GAVE", 0.2),
    RecordColumn("ITS DAYS", 0.24),
    RecordColumn("LOTS", 0.16),
)
_GIVEN: Final = (
    RecordColumn("DAY", 0.16),
    RecordColumn("CODE", 0.24),
    RecordColumn("MUCH", 0.12, is_number=True),
    RecordColumn("FOR", 1.0, is_flexible=True),
    _BY,
    RecordColumn("LINE", 0.1),
)
# What the table of what went in says already, with its lot.
_WEIGHED_IN: Final = ("herb", "lots")
_POURED: Final = "poured "


def sections(
    record: Record, made_up: Iterable[tuple[str, str]], zone: tzinfo
) -> tuple[Section, ...]:
    """All of a record but its head and the lines to sign; what there is none of is named last."""
    every = _every(record, made_up, zone)
    empty = [one.of_none for one in every if not one.rows]
    nothing = listed("Nothing is recorded of", [", ".join(empty)] if empty else [])
    *full, the_book, not_held = [one for one in every if one.rows]
    return (*full, *([nothing] if empty else []), the_book, not_held)


def _every(record: Record, made_up: Iterable[tuple[str, str]], zone: tzinfo) -> tuple[Section, ...]:
    return (
        listed("Cautions", record.cautions or (NO_CAUTIONS,), bold=record.grave),
        tabled(
            "Weighed and measured in",
            _INTO,
            [_component(one, zone) for one in record.components],
            said_once=NOBODY,
        ),
        tabled("Sources", _FROM, [_source(one) for one in record.parts]),
        listed("Lots behind it", record.lots),
        named("Make-up", _made_up(record, made_up), record.latin),
        _yields(record.yields),
        *_bottles(record.yields),
        tabled("Given out", _GIVEN, _given(record), said_once=NOBODY),
        holds(record),
        amended_section(record, zone),
        labels(record),
        listed("What does not fit", record.flags),
        steps(record, zone),
        listed("The book", _book(record)),
        listed("Not in the book: other records, or ink", record.not_held),
    )


def _component(one: Component, zone: tzinfo) -> RecordRow:
    lot: tuple[Para, ...] = cell(batch_words.lot(one))
    if one.lot_recalled:
        lot = (*lot, barred("RECALLED"))
    return (
        cell(batch_words.day_and_hour(one.on, one.at, zone)),
        (_plant(one),),
        cell(batch_words.much(one)),
        lot,
        cell(one.by or ""),
    )


def _plant(one: Component) -> Para:
    return plant_para(one.herb, one.what.removeprefix(one.herb)) if one.herb else para(one.what)


def _source(one: BlendPart) -> RecordRow:
    held = (barred(one.hold),) if one.hold else ()
    gave = "amount not known" if one.ml is None else ml(one.ml)
    return (
        cell(one.code, "B"),
        (latin_led(one.what), *held, *(para(text) for text in one.cautions)),
        cell(f"{gave}, {one.how} {batch_words.day(one.on)}"),
        tuple(para(text) for text in batch_words.dates(one)),
        cell(", ".join(one.lots)),
    )


def _made_up(record: Record, rows: Iterable[tuple[str, str]]) -> list[tuple[str, str]]:
    """What it is made of; what was weighed in and came from nowhere else is in its own table."""
    if not record.components or record.parts:
        return [one for one in rows if one[0] != "lots"]
    return [one for one in rows if one[0] not in _WEIGHED_IN and not one[0].startswith(_POURED)]


def _yields(found: Sequence[ExtractYield]) -> Section:
    columns = (RecordColumn("", 0.22), RecordColumn("", 1.0, is_flexible=True))
    said = ((one.code, _gave(one, found)) for one in found)
    rows = tuple((cell(code, "B"), tuple(map(para, lines))) for code, lines in said)
    return Section("Yields and losses", columns, rows)


def _gave(one: ExtractYield, found: Sequence[ExtractYield]) -> tuple[str, ...]:
    accounted = batch_words.accounted(one, with_strength=_of_several_strengths(found))
    return (batch_words.gave(one), *accounted)


def _of_several_strengths(found: Sequence[ExtractYield]) -> bool:
    """Whether what it is made up of does not say how strong each of them is."""
    said = {one.strength for one in found}
    said |= {bottle.strength for one in found for bottle in one.bottles}
    return len(said) > 1 or any(one.added_ml for one in found)


def _bottles(found: Sequence[ExtractYield]) -> Iterable[Section]:
    bottles = [bottle for one in found for bottle in one.bottles]
    if bottles:
        several = len({one.strength for one in found} | {one.strength for one in bottles}) > 1
        rows = bottle_rows(bottles, with_strength=several)
        yield tabled("Bottles", BOTTLES, list(rows))


def _given(record: Record) -> list[RecordRow]:
    return [
        (
            cell(batch_words.day(one.on)),
            cell(one.code),
            cell(batch_words.volume(one)),
            _for(one.reference),
            cell(one.by or ""),
            cell(one.number or ""),
        )
        for one in record.given
    ]


def _for(reference: str | None) -> RecordCell:
    return cell(reference or "no reference")


def _book(record: Record) -> Iterable[str]:
    book = record.book
    yield f"digest {book.digest}; {batch_words.wholeness(whole=book.whole)}"
    for one in book.files:
        yield f"{one.file}, {batch_words.counted(one.lines)}, ends {one.digest}"
