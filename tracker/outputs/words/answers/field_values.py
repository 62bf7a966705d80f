"""The fields of a fact in words: what each says now, and what a correction changes."""

from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from datetime import UTC, date, datetime, time
from typing import Any, assert_never, cast

import msgspec

from tracker.core.facts.entry import Entry
from tracker.core.facts.field_words import FieldWord, every_word, words_of
from tracker.core.facts.fields import Pour
from tracker.core.facts.kinds import Recorded
from tracker.core.practice.shake_plan import ShakePhase, plan_text
from tracker.core.shelf.extract import NOBODY
from tracker.core.values.day_words import short_day
from tracker.core.values.errors import TrackerError
from tracker.core.values.kind_words import reminder_said
from tracker.core.values.times import Precision, When, parse_period
from tracker.outputs.words.amount_words import ml
from tracker.outputs.words.ingredients import pours
from tracker.outputs.words.ways_of_making import way_name

Values = Mapping[str, Any]
NOT_SAID = "not said"
# What may go wrong with what a stranger's line holds.
_OF_ANOTHER_SHAPE = (
    TypeError,
    ValueError,
    KeyError,
    AttributeError,
    OverflowError,
    TrackerError,
    msgspec.MsgspecError,
)


def value_of(field: FieldWord, entry: Entry) -> str:
    """What a field of an event says, in words."""
    return _said(field, _values_of(entry))


def values_now(field: FieldWord, entry: Entry) -> dict[str, object]:
    """What a field of an event says, as a correction gives it."""
    values = _values_of(entry)
    held = {name: values[name] for name in field.holds if name in values}
    return cast("dict[str, object]", msgspec.to_builtins(held))


def changes_said(was: Entry, now: Entry) -> list[str]:
    """What is different: `volume 1405 ml → 1450 ml`, `day 27 Nov 2026 → 26 Nov 2026`."""
    before, after = _values_of(was), _values_of(now)
    told = [
        (field.said, _said(field, before), _said(field, after))
        for field in _fields_of(was.fact, now.fact)
        if any(before.get(name) != after.get(name) for name in field.holds)
    ]
    # What several fields are read from may leave some of them as they were.
    seen = [one for one in told if one[1] != one[2]] or told
    return [f"{name} {first} → {then}" for name, first, then in seen]


def _fields_of(was: Recorded, now: Recorded) -> Iterator[FieldWord]:
    """The fields of an event, called as they are afterwards: fresh herb may turn out dried."""
    seen: set[tuple[object, ...]] = set()
    for field in (*words_of(now), *words_of(was)):
        if (key := (field.holds, field.reads)) not in seen:
            seen.add(key)
            yield field


def set_said(values: Values) -> str:
    """What a correction sets, where the event that it corrects is not at hand."""
    while isinstance(inner := values.get("set"), dict):
        values = inner
    found, left = [], set(values)
    for field in every_word():
        if field.holds[0] not in left or not _fits(field, values[field.holds[0]]):
            continue
        left -= set(field.holds)
        found.append(f"{field.said} {_said(field, values)}")
    if left & {"time", "precision"}:
        found.append(f"day {_when_said(values)}")
    return ", ".join(found) or "a field that is not known here"


def _fits(field: FieldWord, value: object) -> bool:
    """Whether a value may be of that field: `written` alone is none, nor is a part of it."""
    if field.reads in ("volume", "weight", "share of water", "strength"):
        return value is None or isinstance(value, int | float)
    return True


def _values_of(entry: Entry) -> Values:
    fact = cast("dict[str, Any]", msgspec.to_builtins(entry.fact))
    when = entry.when
    line = {"time": when.start, "precision": when.precision, "subject": entry.subject}
    return {**fact, **line}


def _said(field: FieldWord, values: Values) -> str:
    """A value in words; one of a shape that is not known here is not spelt out."""
    with suppress(*_OF_ANOTHER_SHAPE):
        return _in_words(field, values)
    return "something that cannot be read"


def _in_words(field: FieldWord, values: Values) -> str:
    """What a field says that may be of the line itself, or say nothing; else its value."""
    value = values.get(field.holds[0])
    match field.reads:
        case "thing":
            return str(values["subject"])
        case "when":
            return _when_said(values)
        case "finished":
            return "yes" if value == "finished" else "no"
        case "strength" if value is None:
            return "not known"
        case "jars":
            return str(values["subject"]) if "jars" in values else f"{len(value or ())} jars"
        case "lot":
            names = ", ".join(values.get("lots", ()))
            return names or ("a lot of the book" if value else NOT_SAID)
        case "signs" | "look days" | "shake plan" if not value:
            return "none"
        case _ if value is None or value in ((), [], ""):
            return field.unsaid or NOT_SAID
        case _:
            return _value_said(field, values, value)


def _value_said(field: FieldWord, values: Values, value: Any) -> str:  # noqa: ANN401, C901  # builtins of a line; an arm a way of reading
    match field.reads:
        case "volume" | "weight":
            return _amount(field, values)
        case "share of water" | "strength":
            return f"{value:g} %"
        case "pours":
            return pours(msgspec.convert(value, tuple[Pour, ...]))
        case "pour bought":
            return str(values.get("name") or value)
        case "span":
            return str(parse_period(value))
        case "shake plan":
            return plan_text(msgspec.convert(value, tuple[ShakePhase, ...]))
        case "guess":
            precision = cast("Precision", values.get("charged_precision", "day"))
            start = datetime.combine(datetime.fromisoformat(str(value)), time(), UTC)
            return str(When(start, precision))
        case "owner":
            return "nobody" if value == NOBODY else str(value)
        case "bottles" | "parts" | "source" | "source volume" | "shares":
            return _several(field.reads, value)
        case "new codes":
            return " ".join(one["code"] for one in value)
        case "new jars":
            return _sizes([one.get("jar_ml") for one in value])
        case "choice":
            return _choice_said(field, value)
        case "signs" | "look days":
            return ", ".join(str(one) for one in value)
        case "day":
            return short_day(date.fromisoformat(str(value)))
        case "text" | "herb" | "lid" | "money" | "ratio" | "number" | "code":
            return str(value)
        case "thing" | "when" | "finished" | "jars" | "lot":
            return NOT_SAID  # said of the line
        case _:
            assert_never(field.reads)


def _choice_said(field: FieldWord, value: Any) -> str:  # noqa: ANN401  # builtins of a line
    match field.word:
        case "way":
            return way_name(value)
        case "what":
            return reminder_said(value)
        case _:
            return str(value)


def _several(reads: str, value: Any) -> str:  # noqa: ANN401  # builtins of a line
    match reads:
        case "bottles":
            return ", ".join(f"{one['count']} × {ml(one['size_ml'])}" for one in value)
        case "parts":
            return " + ".join(ml(one["volume_ml"], one.get("written")) for one in value)
        case "shares":
            return ", ".join(f"{one['share']:.0%}" for one in value)
        case "source volume":
            return ml(value["volume_ml"], value.get("written"))
        case _:
            return "the extract itself" if not value["about"].get("bottle") else "a bottle of it"


def _sizes(sizes: Sequence[float | None]) -> str:
    return ", ".join(NOT_SAID if one is None else ml(one) for one in dict.fromkeys(sizes))


def _amount(field: FieldWord, values: Values) -> str:
    amount, written = values[field.holds[0]], None
    if len(field.holds) > 1:
        written = values.get(field.holds[1])
    known = values.get(field.holds[2]) if len(field.holds) > 2 else None
    if field.reads == "volume":
        text = ml(amount, written)
    else:
        text = f"{amount:.1f}".removesuffix(".0") + " g"
        if written and not written.strip().lower().endswith("g"):
            text += f" ({written})"
    return text + (" by eye" if known == "by eye" and "about" not in text else "")


def _when_said(values: Values) -> str:
    start = values.get("time")
    if isinstance(start, str):
        start = datetime.fromisoformat(start)
    if start is None:
        return f"known to the {values['precision']}"
    precision = cast("Precision", values.get("precision") or "day")
    if precision == "time":
        return f"{short_day(start.date())} at {start:%H:%M}"
    return str(When(start, precision))
