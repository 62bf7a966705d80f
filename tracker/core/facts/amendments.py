"""Remarks, labels, reminders put off, and what corrects the record; nothing is ever changed."""

from dataclasses import dataclass
from datetime import date
from typing import Annotated, Literal

from annotated_types import MinLen
from msgspec import Meta

from tracker.core.facts.fields import (
    About,
    EventId,
    Fact,
    Name,
    Number,
    Reason,
    Text,
    Waiting,
)


@dataclass(frozen=True, kw_only=True)
class Noted(Fact):
    """A remark about a thing, in `note`."""

    kind: Literal["noted"] = "noted"
    about: About


@dataclass(frozen=True, kw_only=True)
class Held(Fact):
    """A thing is on hold: nothing of it is given out until it is released."""

    kind: Literal["held"] = "held"
    about: About
    why: Reason


@dataclass(frozen=True, kw_only=True)
class Released(Fact):
    """A thing on hold is free again, and why."""

    kind: Literal["released"] = "released"
    about: About
    why: Reason


@dataclass(frozen=True, kw_only=True)
class Labelled(Fact):
    """Labels were printed for a thing: `lines` is what each of the `copies` says.

    `qr` is what its QR code holds, `sheet` what it was printed on: a sheet of the practice by
    its name, or the size of a label of its own.
    """

    kind: Literal["labelled"] = "labelled"
    about: About
    lines: Annotated[tuple[Text, ...], MinLen(1), Meta(min_length=1)]
    copies: Number = 1
    qr: Text | None = None
    sheet: Name | None = None


@dataclass(frozen=True, kw_only=True)
class Later(Fact):
    """One reminder about one thing is put off: it comes back on the day `until`."""

    kind: Literal["later"] = "later"
    about: About
    what: Waiting
    until: date


@dataclass(frozen=True, kw_only=True)
class Away(Fact):
    """The maker is away, and nothing is reminded of, from the first day through the last."""

    kind: Literal["away"] = "away"
    first: date
    last: date


@dataclass(frozen=True, kw_only=True)
class Amendment(Fact):
    """What is said of an earlier event, `event`."""

    event: EventId


@dataclass(frozen=True, kw_only=True)
class Corrected(Amendment):
    """Named fields of an earlier event have other values, and why.

    `jars` lists the charges of every jar whose history this touches. `set` holds data fields
    by their name in the file; `time` and `precision` stand for when it happened, `subject`
    for the code written on it.
    """

    kind: Literal["corrected"] = "corrected"
    jars: Annotated[tuple[EventId, ...], MinLen(1), Meta(min_length=1)]
    set: Annotated[dict[str, object], MinLen(1), Meta(min_length=1)]
    why: Reason


@dataclass(frozen=True, kw_only=True)
class Struck(Amendment):
    """An earlier event is taken out, and why."""

    kind: Literal["struck"] = "struck"
    jars: Annotated[tuple[EventId, ...], MinLen(1), Meta(min_length=1)]
    why: Reason


@dataclass(frozen=True, kw_only=True)
class SameAs(Amendment):
    """Two records are of one happening: `event` counts no longer, `stands` does.

    What was recorded about an extract that `event` opened counts for that of `stands`.
    """

    kind: Literal["same_as"] = "same_as"
    stands: EventId
    jars: Annotated[tuple[EventId, ...], MinLen(1), Meta(min_length=1)]
    why: Text | None = None
