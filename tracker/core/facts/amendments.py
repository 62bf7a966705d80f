"""Remarks, labels, reminders put off, and what corrects the record; nothing is ever changed."""

from datetime import date
from typing import Annotated, ClassVar

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


class Noted(Fact, frozen=True, kw_only=True):
    """A remark about a thing, in `note`."""

    kind: ClassVar[str] = "noted"
    about: About


class Held(Fact, frozen=True, kw_only=True):
    """A thing is on hold: nothing of it is given out until it is released."""

    kind: ClassVar[str] = "held"
    about: About
    why: Reason


class Released(Fact, frozen=True, kw_only=True):
    """A thing on hold is free again, and why."""

    kind: ClassVar[str] = "released"
    about: About
    why: Reason


class Labelled(Fact, frozen=True, kw_only=True):
    """Labels were printed for a thing: `lines` is what each of the `copies` says.

    `qr` is what its QR code holds, `sheet` what it was printed on: a sheet of the practice by
    its name, or the size of a label of its own.
    """

    kind: ClassVar[str] = "labelled"
    about: About
    lines: Annotated[tuple[Text, ...], Meta(min_length=1)]
    copies: Number = 1
    qr: Text | None = None
    sheet: Name | None = None


class Later(Fact, frozen=True, kw_only=True):
    """One reminder about one thing is put off: it comes back on the day `until`."""

    kind: ClassVar[str] = "later"
    about: About
    what: Waiting
    until: date


class Away(Fact, frozen=True, kw_only=True):
    """The maker is away, and nothing is reminded of, from the first day through the last."""

    kind: ClassVar[str] = "away"
    first: date
    last: date


class Amendment(Fact, frozen=True, kw_only=True):
    """What is said of an earlier event, `event`."""

    event: EventId


class Corrected(Amendment, frozen=True, kw_only=True):
    """Named fields of an earlier event have other values, and why.

    `jars` lists the charges of every jar whose history this touches. `set` holds data fields
    by their name in the file; `time` and `precision` stand for when it happened, `subject`
    for the code written on it.
    """

    kind: ClassVar[str] = "corrected"
    jars: Annotated[tuple[EventId, ...], Meta(min_length=1)]
    set: Annotated[dict[str, object], Meta(min_length=1)]
    why: Reason


class Struck(Amendment, frozen=True, kw_only=True):
    """An earlier event is taken out, and why."""

    kind: ClassVar[str] = "struck"
    jars: Annotated[tuple[EventId, ...], Meta(min_length=1)]
    why: Reason


class SameAs(Amendment, frozen=True, kw_only=True):
    """Two records are of one happening: `event` counts no longer, `stands` does.

    What was recorded about an extract that `event` opened counts for that of `stands`.
    """

    kind: ClassVar[str] = "same_as"
    stands: EventId
    jars: Annotated[tuple[EventId, ...], Meta(min_length=1)]
    why: Text | None = None
