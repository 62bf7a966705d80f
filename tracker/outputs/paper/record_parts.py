"""A batch record as sections of rows, in words, without a layout."""

from collections.abc import Iterable, Sequence
from datetime import tzinfo
from typing import Final, NamedTuple

from tracker.core.values.text import shown
from tracker.outputs.paper.labels.label_text import Run, Style
from tracker.outputs.records import batch_words
from tracker.outputs.records.batch_parts import ExtractYield, Record, Step


class Para(NamedTuple):
    """Words that begin a line of their own; `struck` is drawn through but for the bold."""

    runs: tuple[Run, ...]
    struck: bool = False


RecordCell = tuple[Para, ...]
RecordRow = tuple[RecordCell, ...]


class Section(NamedTuple):
    """A heading and its rows; `columns` are names with shares of the width.

    `ruled` rows are told apart by a hairline.
    """

    head: str
    columns: tuple[tuple[str, float], ...]
    rows: tuple[RecordRow, ...]
    ruled: bool = False


_LINES: Final = (("", 1.0),)
_NAMED: Final = (("", 0.17), ("", 0.83))
_INTO: Final = (("DAY", 0.11), ("WHAT", 0.3), ("MUCH", 0.17), ("LOT", 0.29), ("BY", 0.13))
_GIVEN: Final = (("DAY", 0.11), ("CODE", 0.19), ("MUCH", 0.13), ("REFERENCE", 0.57))
_BRIEF: Final = (("DAY", 0.11), ("CODE", 0.15), ("WHAT", 0.61), ("BY", 0.13))
_STEPS: Final = (
    ("DAY", 0.115),
    ("CODE", 0.14),
    ("WHAT", 0.345),
    ("BY", 0.11),
    ("WRITTEN DOWN", 0.205),
    ("NUMBER", 0.085),
)


def sections(
    record: Record, made_up: Iterable[tuple[str, str]], zone: tzinfo
) -> tuple[Section, ...]:
    """All of a record but its head and the lines to sign, in the order of the text record."""
    return (
        Section("Make-up", _NAMED, tuple((_cell(a), _cell(b)) for a, b in made_up)),
        _listed("Cautions", record.cautions),
        Section("Weighed and measured in", _INTO, tuple(_components(record)), ruled=True),
        Section(
            "From",
            _NAMED,
            tuple((_cell(one.code, "B"), _cell(batch_words.part(one))) for one in record.parts),
        ),
        _listed("Lots behind it", record.lots),
        Section("Yields and losses", _NAMED, tuple(_yields(record.yields))),
        Section("Given out", _GIVEN, tuple(_given(record)), ruled=True),
        _briefly("Holds and releases", record.holds),
        _briefly("Labels", record.labels),
        _listed("Does not fit", record.flags),
        Section("Every step", _STEPS, tuple(_steps(record, zone)), True),
        _listed("The book", _book(record)),
        _listed("Not in the book: other records, or ink", record.not_held),
    )


def _cell(text: str, style: Style = "") -> RecordCell:
    return (_para(text, style),)


def _para(text: str, style: Style = "", *, struck: bool = False) -> Para:
    return Para((Run(shown(text), style),), struck)


def _reading(name: str, text: str, *, struck: bool = False) -> Para:
    return Para((Run(name, "B"), Run(f" {shown(text)}")), struck)


def _listed(head: str, texts: Iterable[str]) -> Section:
    return Section(head, _LINES, tuple((_cell(text),) for text in texts))


def _components(record: Record) -> Iterable[RecordRow]:
    for one in record.components:
        day, much, lot = batch_words.day(one.on), batch_words.much(one), batch_words.lot(one)
        cells = (day, one.what, much, lot, one.by or "–")
        yield tuple(_cell(text) for text in cells)


def _yields(found: Sequence[ExtractYield]) -> Iterable[RecordRow]:
    for one in found:
        lines = (batch_words.gave(one), *batch_words.accounted(one))
        yield _cell(one.code, "B"), tuple(_para(line) for line in lines)
        for bottle in one.bottles:
            yield _cell(bottle.code), _cell(batch_words.bottle(bottle))


def _given(record: Record) -> Iterable[RecordRow]:
    for one in record.given:
        day, volume = batch_words.day(one.on), batch_words.volume(one)
        cells = (day, one.code, volume, one.reference or "–")
        yield tuple(_cell(text) for text in cells)


def _briefly(head: str, steps: Iterable[Step]) -> Section:
    rows = tuple(
        (_cell(batch_words.day(one.when)), _cell(one.code), _readings(one), _cell(one.by or "–"))
        for one in steps
    )
    return Section(head, _BRIEF, rows, ruled=True)


def _steps(record: Record, zone: tzinfo) -> Iterable[RecordRow]:
    """Every step; where several machines wrote, which of them stands beside the time."""
    several = len({one.writer for one in record.steps}) > 1
    return (_step(one, zone, machine=several) for one in record.steps)


def _step(one: Step, zone: tzinfo, *, machine: bool) -> RecordRow:
    return (
        _cell(batch_words.day(one.when)),
        _cell(one.code),
        (*_readings(one), *(_para(batch_words.amended(other)) for other in one.amended)),
        _cell(one.by or "–"),
        _cell(batch_words.recorded(one, zone, machine=machine)),
        _cell(one.number),
    )


def _readings(one: Step) -> RecordCell:
    """What was written, struck through where it no longer counts, and what holds instead.

    Said in words too: a line drawn through small type may be lost on a copy.
    """
    if one.now:
        was = f"{batch_words.day(one.when)}  {one.code}  {one.said}"
        return _reading("was:", was, struck=True), _reading("now:", one.now)
    if one.in_force:
        return _cell(one.said)
    return _para(one.said, struck=True), Para((Run("no longer counts", "B"),))


def _book(record: Record) -> Iterable[str]:
    book = record.book
    yield f"digest {book.digest}; {batch_words.wholeness(whole=book.whole)}"
    for one in book.files:
        yield f"{one.file}, {batch_words.counted(one.lines)}, ends {one.digest}"
