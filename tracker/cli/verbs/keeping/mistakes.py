"""What was recorded wrongly: `correct`, `strike`, `same`. Nothing recorded is ever changed."""

import json
from typing import Annotated

import msgspec
import typer
from msgspec.structs import fields

from tracker.cli.desk import Desk, about_of
from tracker.cli.given.day_asked import day_said
from tracker.cli.given.days_given import day_to_come, guessed_charge
from tracker.cli.given.fields_given import field_of, field_value, lot_change
from tracker.cli.given.pours import poured, pours_asked
from tracker.cli.given.signs_given import signs_named
from tracker.cli.options import Why, recording
from tracker.core.facts.amendments import Corrected, SameAs, Struck
from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import Counted
from tracker.core.facts.fields import About, HerbFact
from tracker.core.facts.jars import Charged, Found, LookedAt, Shaken
from tracker.core.facts.kinds import Recorded as RecordedFact
from tracker.core.replay.in_force import LINE_FIELDS, with_values
from tracker.core.rules.recorded import Recorded
from tracker.core.values.errors import MisusedError, RefusedError
from tracker.core.values.times import parse_period
from tracker.quantities import grams, millilitres, percent

app = typer.Typer(rich_markup_mode=None)

Event = Annotated[str | None, typer.Argument(help="The entry's number in `history`: 214.")]


@app.command()
@recording
def strike(desk: Desk, event: Event = None, why: Why = None) -> Recorded:
    """Take back something recorded earlier, with a reason.

    It stays in the history.
    """
    number = desk.code(event, "Which event")
    reason = desk.need(why, "Why", read=str.strip)
    target = desk.book.entry(number)
    fact = Struck(event=target.id, jars=target.jars, why=reason)
    return desk.record(target.subject, fact)


@app.command()
@recording
def same(
    desk: Desk,
    event: Event = None,
    other: Annotated[str | None, typer.Argument(help="The other record of it.")] = None,
    why: Why = None,
) -> Recorded:
    """Say that two records are of one thing that happened.

    EVENT stands, OTHER does not.
    """
    stands = desk.code(event, "Which event stands")
    twice = desk.code(other, "Which event is the same")
    first, second = desk.book.entry(stands), desk.book.entry(twice)
    jars = tuple(dict.fromkeys([*first.jars, *second.jars]))
    return desk.record(first.subject, SameAs(event=second.id, stands=first.id, jars=jars, why=why))


@app.command()
@recording
def correct(
    desk: Desk,
    event: Event = None,
    values: Annotated[
        list[str] | None,
        typer.Option("--set", help="field=value: volume=330ml, when=2025-04-05. Can be repeated."),
    ] = None,
    why: Why = None,
) -> Recorded:
    """Give something recorded earlier other values, with a reason."""
    number = desk.code(event, "Which event")
    texts = desk.need(values or None, "What is right, such as volume=330ml", read=lambda one: [one])
    reason = desk.need(why, "Why", read=str.strip)
    target = desk.book.entry(number)
    root = desk.book.standing(target)
    # Correcting a correction gives the event at its root its values again.
    changes, depth = _values_of(target)
    for text in texts:
        changes |= _change(desk, root, text)
    corrected = _with_values(desk, root, changes)
    fact = Corrected(
        event=target.id,
        jars=tuple(dict.fromkeys([*target.jars, *root.jars, *corrected.jars])),
        set=_at_depth(changes, depth),
        why=reason,
    )
    return desk.record(target.subject, fact)


def _values_of(entry: Entry) -> tuple[dict[str, object], int]:
    """The values a correction gives to its root, and by how many corrections it is from there."""
    if not isinstance(entry.fact, Corrected):
        return {}, 0
    values, depth = entry.fact.set, 1
    while isinstance(inner := values.get("set"), dict):
        values, depth = inner, depth + 1
    return dict(values), depth


def _at_depth(values: dict[str, object], depth: int) -> dict[str, object]:
    for _ in range(depth):
        values = {"set": values}
    return values


def _with_values(desk: Desk, target: Entry, changes: dict[str, object]) -> Entry:
    """The event with other values; those it cannot have are named with those it can."""
    try:
        return with_values(target, changes)
    except ValueError as reason:
        named = desk.book.name_of(target)
        raise MisusedError(
            f"That cannot be corrected: {reason}.",
            where=f"entry {named}, a {target.kind.replace('_', ' ')}",
            do=f"fields it has: {', '.join(_fields(target.fact))}.",
        ) from reason


def _fields(fact: RecordedFact) -> list[str]:
    hidden = {"v", "jars", "event", "about"}
    return [
        "when",
        "subject",
        *(one.name for one in fields(fact) if one.name not in hidden),
    ]


def _change(desk: Desk, target: Entry, text: str) -> dict[str, object]:
    """One `field=value` as fields of the line; amounts are read as they are elsewhere."""
    name, equals, value = text.partition("=")
    name = name.strip()
    if not equals:
        raise MisusedError(f"{text!r} sets nothing.", where="--set", do="write field=value.")
    if name in ("when", "time"):
        when = day_said(desk, value, desk.bench.when)
        return {"time": when.start.isoformat(), "precision": when.precision}
    if name == "subject":
        return _resubject(desk, target, value)
    if name == "set":
        return _json_object(value)
    if (name := field_of(target.fact, name)) in LINE_FIELDS:
        raise MisusedError(f"{name} is set by when.", where="--set", do="write when=….")
    if isinstance(target.fact, LookedAt) and name in ("again", "again_on", "sign", "signs"):
        return _look_change(desk, target, name, value.strip())
    if isinstance(target.fact, HerbFact) and name in ("lot", "lots", "herb_lot"):
        return lot_change(desk, target.fact, value.strip())
    if isinstance(target.fact, Found) and name == "charged":
        value = "unknown" if value.strip().lower() == "none" else value
        began, precision = guessed_charge(desk, value, "--set charged=…")
        day = began.isoformat() if began else None
        return {"charged_from": day, "charged_precision": precision}
    return _data_change(desk, target.fact, name, value.strip())


def _look_change(desk: Desk, target: Entry, name: str, value: str) -> dict[str, object]:
    """What was seen, or when to look again, read as `look` reads it."""
    is_none = value.lower() in ("none", "never", "")
    if name in ("sign", "signs"):
        return {"signs": [] if is_none else list(signs_named([value]))}
    day = None if is_none else day_to_come(desk, value, target.when.latest, "--set again=…")
    return {"again_on": day.isoformat() if day else None}


def _json_object(value: str) -> dict[str, object]:
    try:
        found = json.loads(value)
    except ValueError:
        found = None
    if not isinstance(found, dict):
        raise MisusedError(
            f"{value!r} is not a JSON object.", where="--set", do="write field=value."
        )
    return found


def _resubject(desk: Desk, target: Entry, code: str) -> dict[str, object]:
    """The event was about another thing: its code and identity."""
    fact = target.fact
    if isinstance(fact, Charged):
        return {"code": code.strip(), "subject": code.strip()}
    if isinstance(fact, Shaken):
        things = [desk.find(one) for one in code.split()]
        return {
            "subject": " ".join(one.code for one in things),
            "jars": [one.batch.id for one in things],
        }
    was = getattr(fact, "about", None)
    if not isinstance(was, About):
        raise RefusedError(
            target.subject, "it is not about one jar or extract", do="strike it instead."
        )
    thing = desk.find(code)
    about: About = about_of(thing)
    if (was.extract is None) != (about.extract is None):
        raise RefusedError(thing.code, f"it is a {thing.kind}", do="name a thing of the same kind.")
    return {
        "subject": thing.code,
        "about": {"jar": about.jar, "extract": about.extract, "bottle": about.bottle},
    }


def _data_change(desk: Desk, fact: RecordedFact, name: str, value: str) -> dict[str, object]:
    units = desk.bench.practice.units
    if name in ("herb_g", "weight", "fresh", "dried"):
        mass = grams(value, units, may_be_none=isinstance(fact, Counted))
        # Of a lot it is the lot that is weighed, of a jar the herb that goes in.
        of = "herb_" if any(one.name == "herb_written" for one in fields(fact)) else ""
        changes: dict[str, object] = {
            "herb_g": mass.value,
            f"{of}written": mass.written,
            f"{of}known": mass.known,
        }
        return changes | ({"form": name} if name in ("fresh", "dried") else {})
    if name in ("volume", "volume_ml"):
        volume = millilitres(value, units, may_be_none=True)
        given = {"volume_ml": volume.value, "written": volume.written, "known": volume.known}
        has = {one.name for one in fields(fact)}
        return {
            field: found for field, found in given.items() if field in has or field == "volume_ml"
        }
    if name in ("filled", "filled_ml"):
        if value.lower() in ("none", ""):
            return {"filled_ml": None, "filled_written": None}
        stood = millilitres(value, units)
        return {
            "filled_ml": stood.value,
            "filled_written": stood.written,
            "filled_known": stood.known,
        }
    if name in ("water", "herb_water_pct_mass"):
        return {"herb_water_pct_mass": percent(value)}
    if name in ("pour", "pours"):
        texts = pours_asked(desk, value.split("+"))
        return {"pours": [_plain(one) for one in poured(desk, texts)]}
    if name in ("least", "longest", "keeps"):
        is_none = value.lower() == "none" and name == "longest"
        return {name: None if is_none else parse_period(value).iso}
    if name.endswith("_ml") and value.lower() not in ("none", ""):
        return {name: millilitres(value, units).value}
    if name not in fact.__struct_fields__:
        return {name: value}
    return {name: field_value(fact, name, value)}


def _plain(one: object) -> object:
    return msgspec.to_builtins(one)
