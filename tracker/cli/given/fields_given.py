"""Fields of a fact as a correction takes them: words of the verbs, values as they are said."""

from collections.abc import Mapping
from typing import Annotated, Literal, assert_never, get_args, get_origin, get_type_hints

import msgspec
from msgspec.structs import fields, replace

from tracker.cli.desk import Desk
from tracker.cli.given.day_asked import day_said
from tracker.cli.given.days_given import day_to_come, guessed_charge
from tracker.cli.given.lots_named import herb_lot, own_names
from tracker.cli.given.pours import (
    herb_named,
    liquids_in,
    money,
    poured,
    pours_asked,
    ratio_meant,
    read_pour,
)
from tracker.cli.given.signs_given import signs_named
from tracker.cli.given.things_given import Changes, thing_change
from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import Bottled
from tracker.core.facts.field_words import FieldWord, field_called, words_of
from tracker.core.facts.fields import HerbFact
from tracker.core.facts.jars import Charged, Moved
from tracker.core.facts.kinds import Recorded
from tracker.core.practice.practice import preparation
from tracker.core.practice.shake_plan import parse_shake_plan
from tracker.core.shelf.extract import NOBODY
from tracker.core.values.errors import MisusedError
from tracker.core.values.times import parse_period
from tracker.outputs.words.answers.field_values import NOT_SAID, value_of, values_now
from tracker.quantities import bottles, grams, millilitres, percent

_NONE = ("none", "never", "nothing", NOT_SAID, "")
_NOT_KNOWN = ("none", "unknown", "not known", "not weighed", NOT_SAID)


def field_given(target: Entry, word: str, *, spoken: bool = False) -> FieldWord:
    """The field that a word means.

    Args:
        target: the event it is a field of.
        word: what it is called.
        spoken: whether it was typed in answer to a question, and not given as an option.

    Raises:
        MisusedError: there is none; those that there are are named.
    """
    found = field_called(target.fact, word)
    if found is not None:
        return found
    said, where = word.strip(), "the answer" if spoken else "--set"
    there = [one.said if spoken else one.word for one in words_of(target.fact)]
    for one in words_of(target.fact):
        if said in one.holds:
            raise MisusedError(
                f"{said!r} is called {one.word} here.", where=where, do=f"write {one.word}=…."
            )
    raise MisusedError(
        f"That line has no {said!r}.", where=where, do=f"it has: {', '.join(there)}."
    )


def change_given(desk: Desk, target: Entry, text: str) -> Changes:
    """One `field=value` as fields of the line.

    Raises:
        MisusedError: it names no field, or its value cannot be read.
    """
    word, equals, value = text.partition("=")
    if not equals:
        raise MisusedError(f"{text!r} sets nothing.", where="--set", do="write field=value.")
    changes = value_given(desk, target, field_given(target, word), value.strip())
    return changes | with_form(target.fact, word.strip())


def value_given(desk: Desk, target: Entry, field: FieldWord, value: str) -> Changes:
    """A value as a person says it, as fields of the line; amounts are read as they are elsewhere.

    What is printed of it now may always be said, and changes nothing.

    Raises:
        MisusedError, RefusedError: it cannot be read, or names what cannot be meant.
    """
    if value == value_of(field, target, desk.bench.present):
        return values_now(field, target)
    changes = _read(desk, target, field, value)
    if isinstance(target.fact, Charged) and changes.keys() & {"pours", "form"}:
        changes["preparation"] = _made_of(desk, target.fact, changes)
    return changes


def _made_of(desk: Desk, fact: Charged, changes: Changes) -> str:
    """The kind of preparation it then is: that follows from what is poured on what."""
    now = msgspec.convert(msgspec.to_builtins(fact) | changes, Charged)
    return preparation(liquids_in(desk, now.pours), now.form)


def _read(  # noqa: C901 - one arm a way of reading
    desk: Desk, target: Entry, field: FieldWord, value: str
) -> Changes:
    name, where = field.holds[0], f"--set {field.word}=…"
    is_none = value.lower() in _NONE and _may_be_none(target.fact, name)
    match field.reads:
        case "volume" | "weight":
            return _amount(desk, target.fact, field, value)
        case "text":
            return {name: None if is_none else value}
        case "lid":  # of which `none` is what it is of, or what lies under it
            return {name: value}
        case "choice":
            return {name: None if is_none else _one_of(target.fact, field, value)}
        case "finished":
            return {name: _finished(value, where)}
        case "owner":
            if value.lower() in (NOBODY, "nobody", ""):
                return {name: NOBODY if isinstance(target.fact, Moved) else None}
            return {name: value}
        case "share of water" | "strength":
            return {name: None if value.lower() in _NOT_KNOWN else percent(value)}
        case "money":
            return {name: None if is_none else money(value, where)}
        case "ratio":
            return {name: None if is_none else ratio_meant(value)}
        case "look days" | "number":
            numbers = _numbers(value, where)
            return {name: numbers if field.reads == "look days" else numbers[0]}
        case "when" | "day" | "guess" | "span" | "shake plan":
            return _time(desk, target, field, value)
        case "herb" | "pours" | "pour bought" | "lot" | "signs" | "bottles":
            return _what_is_in(desk, target, field, value)
        case (
            "thing" | "jars" | "code" | "parts" | "source" | "source volume" | "shares"
            | "new codes" | "new jars"
        ):  # fmt: skip
            return thing_change(desk, target, field, value)
        case _:
            assert_never(field.reads)


def _time(desk: Desk, target: Entry, field: FieldWord, value: str) -> Changes:
    """Days and spans of days."""
    name, where = field.holds[0], f"--set {field.word}=…"
    is_none = value.lower() in _NONE and _may_be_none(target.fact, name)
    match field.reads:
        case "when":
            when = day_said(desk, value, lambda one: desk.bench.when(one, where=where))
            return {"time": when.start.isoformat(), "precision": when.precision}
        case "day":
            day = None if is_none else day_to_come(desk, value, target.when.latest, where)
            return {name: day.isoformat() if day else None}
        case "guess":
            text = "unknown" if value.lower() in _NONE else value
            began, precision = guessed_charge(desk, text, where)
            return {name: began.isoformat() if began else None, "charged_precision": precision}
        case "span":
            return {name: None if is_none else parse_period(value).iso}
        case _:
            return {name: [msgspec.to_builtins(one) for one in parse_shake_plan(value)]}


def _what_is_in(desk: Desk, target: Entry, field: FieldWord, value: str) -> Changes:
    """What was put in, poured, bought, filled or seen."""
    name = field.holds[0]
    match field.reads:
        case "herb":
            return _herb(desk, value)
        case "pours":
            texts = pours_asked(desk, [one.strip() for one in value.split("+")])
            return {name: [msgspec.to_builtins(one) for one in poured(desk, texts)]}
        case "pour bought":
            return _bought(desk, value)
        case "lot":
            return _lot(desk, target.fact, value)
        case "signs":
            return {name: [] if value.lower() in _NONE else list(signs_named([value]))}
        case _:
            return {name: _bottles(desk, target.fact, value)}


def _amount(desk: Desk, fact: Recorded, field: FieldWord, value: str) -> Changes:
    """An amount with its text and how it is known; the form of a herb is that of its option."""
    number, *beside = field.holds
    units, may_be_none = desk.bench.practice.units, _may_be_none(fact, number)
    if may_be_none and value.lower() in (*_NOT_KNOWN, *_NONE, "all"):
        known = {one: "unknown" if "herb" in one else "measured" for one in beside[1:]}
        return {number: None, **dict.fromkeys(beside[:1]), **known}
    read = grams if field.reads == "weight" else millilitres
    text = desk.settled(value, lambda one: read(one, units, may_be_none=True))
    amount = read(text, units, may_be_none=True)
    given = (amount.value, amount.written, amount.known)
    return dict(zip(field.holds, given, strict=False))


def with_form(fact: Recorded, word: str) -> Changes:
    """The form of the herb where a weight is called by it: `fresh=90g`."""
    has_form = any(one.name == "form" for one in fields(fact))
    return {"form": word} if has_form and word in ("fresh", "dried") else {}


def _one_of(fact: Recorded, field: FieldWord, value: str) -> str:
    choices = _choices(type(fact), field.holds[0])
    if value.lower() not in choices:
        raise MisusedError(
            f"{field.said} cannot be {value!r}.",
            where=f"--set {field.word}=…",
            do=f"write one of {', '.join(choices)}.",
        )
    return value.lower()


def _finished(value: str, where: str) -> str:
    said: Mapping[str, str] = {"yes": "finished", "no": "poured"}
    if value.lower() not in (*said, *said.values()):
        raise MisusedError(f"{value!r} is neither.", where=where, do="write yes or no.")
    return said.get(value.lower(), value.lower())


def _herb(desk: Desk, value: str) -> Changes:
    """The herb as its verb writes it down, with the common name and the part that it says."""
    found = herb_named(desk, value, None, None, asks=True)
    whole: Changes = {"herb": found.herb, "common": found.common, "part": found.part}
    return {name: said for name, said in whole.items() if said}


def _bought(desk: Desk, value: str) -> Changes:
    """What was bought, with how much of it and how strong where that is said."""
    bought = read_pour(desk, value)
    names = ("liquid", "volume_ml", "ethanol_pct_vol", "glycerin_pct_mass", "name", "written")
    return {name: getattr(bought, name) for name in (*names, "known")}


def _lot(desk: Desk, fact: Recorded, value: str) -> Changes:
    """The lot of the herb, by code or number; of a charge else a name that is in no book."""
    assert isinstance(fact, HerbFact)
    if value.lower() in _NONE:
        return {"herb_lot": None} | ({"lots": []} if isinstance(fact, Charged) else {})
    lot = herb_lot(desk, value, fact.form)
    if lot is not None:
        return {"herb_lot": lot.id} | ({"lots": []} if isinstance(fact, Charged) else {})
    if isinstance(fact, Charged):
        return {"herb_lot": None, "lots": list(own_names(desk, value.split("+")))}
    return {"herb_lot": desk.lot(value).id}


def _numbers(value: str, where: str) -> list[int]:
    words = value.replace(",", " ").split()
    if not words or not all(one.isdecimal() and len(one) < 8 for one in words):
        raise MisusedError(f"{value!r} is not a number.", where=where, do="write 3, or 3 10 21.")
    return [int(one) for one in words]


def _bottles(desk: Desk, fact: Recorded, value: str) -> object:
    """Sizes and counts, numbered from the first of those that they take the place of."""
    assert isinstance(fact, Bottled)
    first, runs = fact.bottles[0].first, []
    for text in value.split():
        run = bottles(text, first, desk.bench.practice.units)
        runs.append(msgspec.to_builtins(replace(run, first=first)))
        first += run.count
    return runs


def _may_be_none(fact: Recorded, name: str) -> bool:
    return type(None) in _kinds(type(fact), name)


def _choices(owner: type, name: str) -> list[str]:
    return [
        word
        for kind in _kinds(owner, name)
        if get_origin(kind) is Literal
        for word in get_args(kind)
    ]


def _kinds(owner: type, name: str) -> list[object]:
    """The kinds that a field can be, without their limits."""
    hint = get_type_hints(owner, include_extras=False).get(name)
    found, todo = [], [hint]
    while todo:
        one = todo.pop()
        if get_origin(one) is Annotated or (get_args(one) and get_origin(one) is not Literal):
            todo += get_args(one)[:1] if get_origin(one) is Annotated else get_args(one)
        if one is not None:
            found.append(one)
    return found
