"""The batch record as text of 80 columns, with lines to sign in ink."""

from collections.abc import Iterable, Sequence
from datetime import tzinfo

from tracker.core.values.text import shown
from tracker.outputs.records import batch_words
from tracker.outputs.records.batch_parts import BlendPart, Component, ExtractYield, Record, Step
from tracker.outputs.terminal.table import Column, styled, table
from tracker.outputs.terminal.wrapping import hanging, wrapped

_TOTAL = 80


def text(
    record: Record, made_up: Iterable[tuple[str, str]], zone: tzinfo, *, colour: bool
) -> list[str]:
    """The record in lines; `made_up` says what the batch is made of, as name and value."""
    lines = [styled(shown(f"BATCH RECORD  {record.code}"), "bold", colour=colour)]
    lines += _wrapped(record.what, 2)
    lines += _wrapped(f"{record.state}; made {batch_words.moment(record.made, zone)}", 2)
    lines += _wrapped(record.hold, 2) if record.hold else []
    lines += _wrapped(record.basis, 2)
    sections: list[tuple[str, Sequence[str]]] = [
        ("Make-up", [line for name, value in made_up for line in _row(name, value)]),
        ("Cautions", _bullets(record.cautions)),
        ("Weighed and measured in", [x for one in record.components for x in _component(one)]),
        ("From", [x for one in record.parts for x in _part(one)]),
        ("Lots behind it", [x for one in record.lots for x in _wrapped(one, 2)]),
        ("Yields and losses", [x for one in record.yields for x in _yield(one)]),
        ("Given out", _given(record, colour=colour)),
        ("Holds and releases", [x for one in record.holds for x in _brief(one)]),
        ("Labels", [x for one in record.labels for x in _brief(one)]),
        ("Does not fit", [x for one in record.flags for x in _wrapped(one, 2)]),
        ("Every step", [x for one in record.steps for x in _step(one, zone)]),
        ("The book", _book(record)),
        ("Not in the book: other records, or ink", _bullets(record.not_held)),
        ("To sign", [line for what in record.to_sign for line in _to_sign(what)]),
    ]
    for head, body in sections:
        lines += ["", styled(head, "bold", colour=colour), *(body or ["  none"])]
    return lines


def _wrapped(said: str, indent: int) -> list[str]:
    """A text in lines; those after the first are indented a little more."""
    after = indent + 2
    first, *rest = wrapped(shown(said), _TOTAL - after)
    return [" " * indent + first, *(" " * after + one for one in rest)]


def _row(name: str, value: str) -> list[str]:
    return hanging(f"  {shown(name):<18}", shown(value), _TOTAL)


def _bullets(texts: Sequence[str]) -> list[str]:
    return [line for one in texts for line in _wrapped(one, 2)]


def _component(one: Component) -> list[str]:
    said = f"{batch_words.day(one.on)}  {one.what}: {batch_words.much(one)}; {batch_words.lot(one)}"
    return _wrapped(said + batch_words.by(one.by), 2)


def _part(one: BlendPart) -> list[str]:
    return _wrapped(f"{one.code}  {batch_words.part(one)}", 2)


def _yield(one: ExtractYield) -> list[str]:
    rows = _wrapped(f"{one.code}  {batch_words.gave(one)}", 2)
    for line in batch_words.accounted(one):
        rows += _wrapped(line, 4)
    for bottle in one.bottles:
        rows += _wrapped(f"{bottle.code}  {batch_words.bottle(bottle)}", 4)
    return rows


_GIVEN = (
    Column("WHEN"),
    Column("CODE", least=12),
    Column("MUCH", right=True),
    Column("REFERENCE", least=9),
)


def _given(record: Record, *, colour: bool) -> list[str]:
    rows = [
        [batch_words.day(one.on), one.code, batch_words.volume(one), one.reference or "–"]
        for one in record.given
    ]
    lines = table(_GIVEN, rows, total=_TOTAL - 2, colour=colour) if rows else []
    return [f"  {line}" for line in lines]


def _brief(one: Step) -> list[str]:
    struck = "" if one.in_force else " (no longer counts)"
    now = f"; NOW: {one.now}" if one.now else ""
    day = batch_words.day(one.when)
    return _wrapped(f"{day}  {one.code}  {one.said}{struck}{now}{batch_words.by(one.by)}", 2)


def _step(one: Step, zone: tzinfo) -> list[str]:
    day = batch_words.day(one.when)
    lines = _wrapped(f"{day}  {one.number}  {one.code}  {one.said}", 2)
    who = f"by {one.by}, " if one.by else ""
    lines += _wrapped(f"{who}recorded {batch_words.recorded(one, zone)}", 4)
    for other in one.amended:
        lines += _wrapped(batch_words.amended(other), 4)
    if one.now:
        lines += _wrapped(f"was: {day}  {one.code}  {one.said}", 4)
        lines += _wrapped(f"now: {one.now}", 4)
    return lines


def _book(record: Record) -> list[str]:
    book = record.book
    lines = _wrapped(f"digest {book.digest}; {batch_words.wholeness(whole=book.whole)}", 2)
    for one in book.files:
        said = f"{one.file}, {batch_words.counted(one.lines)}, ends {one.digest}"
        lines += _wrapped(said, 2)
    return lines


def _to_sign(what: str) -> list[str]:
    return ["", f"  {what:<28}{'_' * 26}  on {'_' * 18}"]
