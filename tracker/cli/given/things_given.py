"""The things that a recorded fact is about, takes from or makes, as a correction names them."""

import re
from typing import Any, cast

import msgspec

from tracker.cli.desk import Desk, about_of
from tracker.cli.given.pours import share_of
from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import Refilled
from tracker.core.facts.field_words import FieldWord
from tracker.core.facts.fields import About
from tracker.core.facts.jars import Joined, Shaken, Split
from tracker.core.facts.lots import Dried
from tracker.core.shelf.codes import is_lot_code
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import a_kind
from tracker.core.values.errors import MisusedError, RefusedError
from tracker.quantities import millilitres

Changes = dict[str, object]

# An amount and the code behind it: `40 ml CAOF-26-01A`.
_PART = re.compile(r"(.+?)\s+(?:of\s+)?(\S+)")


def thing_change(desk: Desk, target: Entry, field: FieldWord, value: str) -> Changes:
    """What names things, as fields of the line.

    Raises:
        MisusedError, RefusedError: it names none that can be meant.
    """
    name = field.holds[0]
    match field.reads:
        case "thing":
            return _about(desk, target, value)
        case "jars":
            return _jars(desk, target, name, value)
        case "code":
            return {name: value} | _subject_too(target, value)
        case "parts":
            return {name: [_part(desk, one) for one in value.split("+")]}
        case "source" | "source volume":
            return {name: _source(desk, target, field, value)}
        case _:
            return {name: _new_jars(desk, target, field, value)}


def _subject_too(target: Entry, code: str) -> Changes:
    """Herb that was dried stands under the lot it was, and all else under its own code."""
    return {} if isinstance(target.fact, Dried) else {"subject": code}


def _about(desk: Desk, target: Entry, code: str) -> Changes:
    """The event was about another thing: its code and identity."""
    was = getattr(target.fact, "about", None)
    if not isinstance(was, About):
        raise RefusedError(target.subject, "it is not about one thing", do="strike it instead.")
    thing = desk.lot(code) if is_lot_code(code) else desk.find(code)
    about = about_of(thing)
    if (was.extract is None) != (about.extract is None):
        kind = "a lot" if isinstance(thing, Lot) else a_kind(thing)
        raise RefusedError(thing.code, f"it is {kind}", do="name a thing of the same kind.")
    return {"subject": thing.code, "about": _plain(about)}


def _plain(about: About) -> object:
    return {"jar": about.jar, "extract": about.extract, "bottle": about.bottle}


def _jars(desk: Desk, target: Entry, name: str, value: str) -> Changes:
    things = [desk.find(one) for one in value.replace(",", " ").split()]
    changes: Changes = {name: [one.batch.id for one in things]}
    if isinstance(target.fact, Shaken):
        return changes | {"subject": " ".join(one.code for one in things)}
    assert isinstance(target.fact, Joined)
    return changes


def _part(desk: Desk, text: str) -> object:
    """So much of one: `40 ml CAOF-26-01A`."""
    found = _PART.fullmatch(text.strip())
    if found is None:
        raise MisusedError(
            f"{text.strip()!r} is not an amount and a code.",
            where="--set part=…",
            do="write 40 ml CAOF-26-01A + 60 ml MEOF-26-02A.",
        )
    amount = millilitres(found[1], desk.bench.practice.units)
    about = about_of(desk.extract(found[2], "blended"))
    return {"about": _plain(about), "volume_ml": amount.value, "written": amount.written}


def _source(desk: Desk, target: Entry, field: FieldWord, value: str) -> object:
    assert isinstance(target.fact, Refilled)
    now = cast("dict[str, Any]", msgspec.to_builtins(target.fact.source))
    if field.reads == "source":
        return now | {"about": _plain(about_of(desk.extract(value, "poured from")))}
    amount = millilitres(value, desk.bench.practice.units)
    return now | {"volume_ml": amount.value, "written": amount.written}


def _new_jars(desk: Desk, target: Entry, field: FieldWord, value: str) -> object:
    """The jars that one was split into, with other shares, codes or sizes."""
    assert isinstance(target.fact, Split)
    now = [cast("dict[str, Any]", msgspec.to_builtins(one)) for one in target.fact.into]
    if field.reads == "new jars":
        size = millilitres(value, desk.bench.practice.units).value
        return [one | {"jar_ml": size} for one in now]
    words = value.replace(",", " ").split()
    if len(words) != len(now):
        raise MisusedError(
            f"{len(now)} jars came of it, and that names {len(words)}.",
            where=f"--set {field.word}=…",
            do="name one for each, in their order.",
        )
    if field.reads == "new codes":
        return [one | {"code": word} for one, word in zip(now, words, strict=True)]
    return [one | {"share": share_of(word)} for one, word in zip(now, words, strict=True)]
