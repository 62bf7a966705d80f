"""Remarks and amends: `note`, `correct`, `strike`, `same`. Nothing recorded is ever changed."""

import json
from dataclasses import fields
from typing import Annotated

import typer

from tracker.cli.consequences import tell_meanwhile
from tracker.cli.desk import Desk
from tracker.cli.sheet import Sheet, about_of, recording
from tracker.core.facts.amendments import Amendment, Corrected, Noted, SameAs, Struck
from tracker.core.facts.entry import Entry
from tracker.core.facts.fields import About
from tracker.core.facts.jars import Charged, Shaken
from tracker.core.facts.kinds import Recorded
from tracker.core.replay.in_force import LINE_FIELDS, with_values
from tracker.core.rules.consequences import REMARKS
from tracker.core.values.errors import MisusedError, RefusedError
from tracker.core.values.times import parse_period, parse_when
from tracker.outputs.words.fact_lines import said
from tracker.quantities import grams, millilitres, pour

app = typer.Typer(rich_markup_mode=None)

Event = Annotated[str | None, typer.Argument(help="The entry's number in `history`: 214.")]
Why = Annotated[str | None, typer.Option(help="Why.")]


@app.command()
@recording
def note(
    desk: Desk,
    code: Annotated[str | None, typer.Argument(help="What it is about.")] = None,
    text: Annotated[str | None, typer.Argument(help="The remark.")] = None,
) -> None:
    """Write down a remark about a jar, extract, bottle or lot."""
    code = desk.need(code, "About which jar", read=str.strip)
    remark = desk.need(text or desk.note, "What is to be noted", read=str.strip)
    with desk.recording() as sheet:
        thing = sheet.find_any(code)
        fact = Noted(by=desk.by, note=remark, about=about_of(thing))
        sheet.add(thing.code, fact)
        sheet.tell_fact(thing.code, fact)


@app.command()
@recording
def strike(desk: Desk, event: Event = None, why: Why = None) -> None:
    """Take an earlier event out, with a reason; it stays in the history."""
    event = desk.need(event, "Which event", read=str.strip)
    reason = desk.need(why, "Why", read=str.strip)
    with desk.recording() as sheet:
        target = sheet.book.entry(event)
        fact = Struck(by=desk.by, note=desk.note, event=target.id, jars=target.jars, why=reason)
        sheet.add(target.subject, fact)
        sheet.tell(lambda: f"Struck: {target.when} {target.subject} {_said(sheet, target)}.")
        tell_meanwhile(sheet)


@app.command()
@recording
def same(
    desk: Desk,
    event: Event = None,
    other: Annotated[str | None, typer.Argument(help="The other record of it.")] = None,
    why: Why = None,
) -> None:
    """Settle that two records are of one happening: EVENT stands, OTHER does not."""
    event = desk.need(event, "Which event stands", read=str.strip)
    other = desk.need(other, "Which event is the same", read=str.strip)
    with desk.recording() as sheet:
        first, second = sheet.book.entry(event), sheet.book.entry(other)
        fact = SameAs(
            by=desk.by,
            note=desk.note,
            event=second.id,
            stands=first.id,
            jars=tuple(dict.fromkeys([*first.jars, *second.jars])),
            why=why,
        )
        sheet.add(first.subject, fact)
        sheet.tell(lambda: f"Stands: {first.when} {first.subject} {_said(sheet, first)}.")
        sheet.tell(lambda: f"The same: {second.when} {second.subject} {_said(sheet, second)}.")


@app.command()
@recording
def correct(
    desk: Desk,
    event: Event = None,
    values: Annotated[
        list[str] | None,
        typer.Option("--set", help="field=value: volume=330ml, when=2025-04-05. Repeatable."),
    ] = None,
    why: Why = None,
) -> None:
    """Give named fields of an earlier event other values, with a reason."""
    event = desk.need(event, "Which event", read=str.strip)
    texts = desk.need(values or None, "What is right, such as volume=330ml", read=lambda one: [one])
    reason = desk.need(why, "Why", read=str.strip)
    with desk.recording() as sheet:
        target = sheet.book.entry(event)
        root = sheet.book.standing(target)
        # Correcting a correction gives the event at its root its values again.
        is_again = isinstance(target.fact, Corrected)
        changes = dict(target.fact.set) if isinstance(target.fact, Corrected) else {}
        for text in texts:
            changes |= _change(sheet, root, text)
        corrected = _with_values(sheet, root, changes)
        fact = Corrected(
            by=desk.by,
            note=desk.note,
            event=target.id,
            jars=tuple(dict.fromkeys([*target.jars, *root.jars, *corrected.jars])),
            set={"set": changes} if is_again else changes,
            why=reason,
        )
        event_id = sheet.add(target.subject, fact)
        sheet.tell(lambda: _reading("Was", sheet.recorded.roots[event_id][0]))
        sheet.tell(lambda: _reading("Now", sheet.recorded.roots[event_id][1]))
        if not REMARKS.issuperset(changes):
            tell_meanwhile(sheet)


def _reading(name: str, entry: Entry | None) -> str:
    if entry is None:
        return f"{name}: struck, and counts for nothing."
    return f"{name}: {entry.when} {entry.subject} {said(entry.fact)}."


def _said(sheet: Sheet, entry: Entry) -> str:
    """What an entry says; of an amendment, with the number of what it amends."""
    if not isinstance(entry.fact, Amendment):
        return said(entry.fact)
    amended = sheet.book.entry(entry.fact.event)
    return said(entry.fact, {amended.id: sheet.book.name_of(amended)})


def _with_values(sheet: Sheet, target: Entry, changes: dict[str, object]) -> Entry:
    """The event with other values; those it cannot have are named with those it can."""
    try:
        return with_values(target, changes)
    except ValueError as reason:
        named = sheet.book.name_of(target)
        raise MisusedError(
            f"That cannot be corrected so: {reason}.",
            where=f"entry {named}, a {target.kind.replace('_', ' ')}",
            do=f"fields it has: {', '.join(_fields(target.fact))}.",
        ) from reason


def _fields(fact: Recorded) -> list[str]:
    hidden = {"v", "kind", "jars", "event", "about"}
    return [
        "when",
        "subject",
        *(one.name for one in fields(fact) if one.name not in hidden),
    ]


def _change(sheet: Sheet, target: Entry, text: str) -> dict[str, object]:
    """One `field=value` as fields of the line; amounts are read as they are elsewhere."""
    name, equals, value = text.partition("=")
    name = name.strip()
    if not equals:
        raise MisusedError(f"{text!r} sets nothing.", where="--set", do="write field=value.")
    if name in ("when", "time"):
        bench = sheet.desk.bench
        when = parse_when(value, bench.now(), bench.practice.hemisphere)
        return {"time": when.start.isoformat(), "precision": when.precision}
    if name == "subject":
        return _resubject(sheet, target, value)
    if name == "set":
        return _json_object(value)
    if name in LINE_FIELDS:
        raise MisusedError(f"{name} is set through when.", where="--set", do="write when=….")
    return _data_change(sheet, target.fact, name, value.strip())


def _json_object(value: str) -> dict[str, object]:
    try:
        found = json.loads(value)
    except ValueError:
        found = None
    if not isinstance(found, dict):
        raise MisusedError(f"{value!r} is no JSON object.", where="--set", do="write field=value.")
    return found


def _resubject(sheet: Sheet, target: Entry, code: str) -> dict[str, object]:
    """The event was about another thing: its code and identity."""
    fact = target.fact
    if isinstance(fact, Charged):
        return {"code": code.strip(), "subject": code.strip()}
    if isinstance(fact, Shaken):
        things = [sheet.find(one) for one in code.split()]
        return {
            "subject": " ".join(one.code for one in things),
            "jars": [one.batch.id for one in things],
        }
    was = getattr(fact, "about", None)
    if not isinstance(was, About):
        raise RefusedError(
            target.subject, "it is about no one jar or extract", do="strike it instead."
        )
    thing = sheet.find(code)
    about: About = about_of(thing)
    if (was.extract is None) != (about.extract is None):
        raise RefusedError(thing.code, f"it is a {thing.kind}", do="name a thing of the same kind.")
    return {
        "subject": thing.code,
        "about": {"jar": about.jar, "extract": about.extract, "bottle": about.bottle},
    }


def _data_change(sheet: Sheet, fact: Recorded, name: str, value: str) -> dict[str, object]:
    units = sheet.desk.bench.practice.units
    if name in ("herb_g", "weight", "fresh", "dried"):
        mass = grams(value, units)
        changes: dict[str, object] = {
            "herb_g": mass.value,
            "herb_written": mass.written,
            "herb_known": mass.known,
        }
        return changes | ({"form": name} if name in ("fresh", "dried") else {})
    if name in ("volume", "volume_ml"):
        volume = millilitres(value, units, may_be_none=True)
        said = {"volume_ml": volume.value, "written": volume.written, "known": volume.known}
        has = {one.name for one in fields(fact)}
        return {
            field: found for field, found in said.items() if field in has or field == "volume_ml"
        }
    if name in ("pour", "pours"):
        poured = [pour(one, units) for one in value.split("+")]
        return {"pours": [_plain(one) for one in poured]}
    if name in ("least", "longest", "keeps"):
        is_none = value.lower() == "none" and name == "longest"
        return {name: None if is_none else parse_period(value).iso}
    if name.endswith("_ml"):
        return {name: millilitres(value, units).value}
    if name not in fact.__dataclass_fields__:
        return {name: value}
    return {name: _plain_value(getattr(fact, name), value)}


def _plain(one: object) -> object:
    import msgspec

    return msgspec.to_builtins(one)


def _plain_value(was: object, value: str) -> object:
    """A text stays a text; a field that held something else is read as JSON."""
    if was is None or isinstance(was, str):
        return value
    try:
        return json.loads(value)
    except ValueError:
        return value
