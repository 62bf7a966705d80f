"""The batch record as text of 80 columns, with lines to sign in ink."""

from collections.abc import Iterable, Sequence
from datetime import tzinfo
from textwrap import wrap

from tracker.core.plain import shown
from tracker.outputs.amounts import ml
from tracker.outputs.records.shapes import Component, Part, Record, Step, Yield
from tracker.outputs.tables import Column, styled, table
from tracker.outputs.words import number

_TOTAL = 80


def text(
    record: Record, made_up: Iterable[tuple[str, str]], zone: tzinfo, *, colour: bool
) -> list[str]:
    """The record in lines; `made_up` says what the batch is made of, as name and value."""
    lines = [styled(shown(f"BATCH RECORD  {record.code}"), "bold", colour=colour)]
    lines += _wrapped(record.what, 2)
    lines += _wrapped(f"{record.state}; made {record.made.astimezone(zone):%Y-%m-%d %H:%M}", 2)
    lines += _wrapped(record.basis, 2)
    sections: list[tuple[str, Sequence[str]]] = [
        ("Make-up", [line for name, value in made_up for line in _row(name, value)]),
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


def _wrapped(said: str, indent: int, more: int | None = None) -> list[str]:
    """A text in lines; those after the first stand `more` in."""
    after = " " * (indent + 2 if more is None else more)
    return wrap(
        shown(said),
        _TOTAL,
        initial_indent=" " * indent,
        subsequent_indent=after,
        break_on_hyphens=False,
    )


def _row(name: str, value: str) -> list[str]:
    return _wrapped(f"{name:<18}{value}", 2, 20) if name else _wrapped(value, 20, 20)


def _bullets(texts: Sequence[str]) -> list[str]:
    return [line for one in texts for line in _wrapped(one, 2)]


def _component(one: Component) -> list[str]:
    much = "not known" if one.amount is None else f"{one.amount:g} {one.unit}, {one.known}"
    said = f"{one.on}  {one.what}: {much}"
    said += f" (written {one.written})" if one.written else ""
    said += f"; lot {one.lot}" if one.lot else "; no lot"
    said += f" from {one.where}" if one.where else ""
    said += f", their lot {one.their_lot}" if one.their_lot else ""
    return _wrapped(f"{said}; by {one.by}", 2)


def _part(one: Part) -> list[str]:
    much = "" if one.ml is None else f"{ml(one.ml)} "
    lots = f"; lots {', '.join(one.lots)}" if one.lots else ""
    return _wrapped(f"{one.code}  {one.what}: {much}{one.how} {one.on}{lots}", 2)


def _yield(one: Yield) -> list[str]:
    known = "" if one.known == "measured" else f", {one.known}"
    rows = _wrapped(f"{one.code}  {one.how} {one.on}: {ml(one.ml)}{known}", 2)
    if one.possible_ml is not None:
        share = f"{one.pct_of_possible:g} % of {ml(one.possible_ml)} of liquid before it"
        rows += _wrapped(share, 4)
    into = f"in: {ml(one.ml)} + {ml(one.added_ml)} added"
    out = [
        f"{name} {ml(much)}"
        for name, much in (
            ("filter", one.filter_loss_ml),
            ("lees", one.lees_ml),
            ("into others", one.passed_on_ml),
            ("given out", one.dispensed_ml),
            ("thrown out", one.discarded_ml),
            ("unaccounted", one.unaccounted_ml),
            ("in bulk", one.bulk_ml),
            ("in bottles", one.bottled_ml),
        )
        if abs(much) >= 0.05
    ]
    rows += _wrapped(f"{into}; out: {' + '.join(out) or 'nothing'}", 4)
    if one.marc or one.good_through:
        kept = [f"marc {one.marc}"] if one.marc else []
        kept += [f"good through {one.good_through}"] if one.good_through else []
        rows += _wrapped("; ".join(kept), 4)
    for bottle in one.bottles:
        left = f"{ml(bottle.left_ml)} left of {ml(bottle.size_ml)}"
        rows += _wrapped(f"{bottle.code}  {left}, filled {bottle.filled}, {bottle.state}", 4)
    return rows


_GIVEN = (
    Column("WHEN"),
    Column("CODE", least=12),
    Column("MUCH", right=True),
    Column("REFERENCE", least=9),
)


def _given(record: Record, *, colour: bool) -> list[str]:
    rows = [
        [one.on, one.code, "–" if one.ml is None else ml(one.ml), one.reference or "–"]
        for one in record.given
    ]
    lines = table(_GIVEN, rows, total=_TOTAL - 2, colour=colour) if rows else []
    return [f"  {line}" for line in lines]


def _brief(one: Step) -> list[str]:
    struck = "" if one.in_force else " (no longer counts)"
    now = f"; NOW: {one.now}" if one.now else ""
    return _wrapped(f"{one.when}  {one.code}  {one.said}{struck}{now}; by {one.by}", 2)


def _step(one: Step, zone: tzinfo) -> list[str]:
    lines = _wrapped(f"{one.when}  {number(one.id)}  {one.code}  {one.said}", 2)
    recorded = f"{one.recorded.astimezone(zone):%Y-%m-%d %H:%M}"
    writer = "" if one.by == one.writer else f" ({one.writer})"
    lines += _wrapped(f"by {one.by}{writer}, recorded {recorded}", 4)
    for other in one.amended:
        was = {"struck": "STRUCK", "same_as": "COUNTS AS ANOTHER"}.get(other.kind, "CORRECTED")
        struck = "" if other.in_force else ", and that was taken back"
        why = f": {other.why}" if other.why else ""
        by = f"by {other.by}, {number(other.id)}"
        lines += _wrapped(f"{was} {by}{struck}{why}", 4)
    if one.now:
        lines += _wrapped(f"was: {one.when}  {one.code}  {one.said}", 4)
        lines += _wrapped(f"now: {one.now}", 4)
    return lines


def _book(record: Record) -> list[str]:
    book = record.book
    whole = "every line is as it was written" if book.whole else "NOT WHOLE: see check"
    lines = _wrapped(f"digest {book.digest}; {whole}", 2)
    for one in book.files:
        count = "1 line" if one.lines == 1 else f"{one.lines} lines"
        lines += _wrapped(f"{one.file}, {count}, ends {one.digest}", 2)
    return lines


def _to_sign(what: str) -> list[str]:
    return ["", f"  {what:<28}{'_' * 26}  on {'_' * 18}"]
