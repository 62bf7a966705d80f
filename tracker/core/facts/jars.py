"""What happens to herb and menstruum in a jar, from the charge to the pressing."""

from dataclasses import dataclass
from datetime import date
from typing import Annotated, Literal

from annotated_types import MinLen
from msgspec import Meta

from tracker.core.facts.fields import (
    About,
    Code,
    EventId,
    Fact,
    Form,
    GuessPrecision,
    HerbFact,
    IsoPeriod,
    Known,
    Letter,
    Millilitres,
    Name,
    Number,
    Pour,
    Reason,
    Rest,
    Shape,
    Share,
    Sign,
    Text,
    Verdict,
)
from tracker.core.practice.practice import Preparation, Way


@dataclass(frozen=True, kw_only=True)
class Charged(Rest, HerbFact):
    """Herb went into a jar and menstruum was poured over it: day 0 of the maceration."""

    kind: Literal["charged"] = "charged"
    code: Code
    pours: Annotated[tuple[Pour, ...], MinLen(1), Meta(min_length=1)]
    preparation: Preparation
    lots: tuple[Name, ...] = ()
    jar_ml: Millilitres | None = None
    lid: Name | None = None
    barrier: Name | None = None
    place: Name | None = None
    filled_ml: Millilitres | None = None  # what it stood at then, herb and menstruum together
    filled_written: Text | None = None
    filled_known: Known = "measured"
    look_days: tuple[Number, ...] = ()
    ratio_meant: Name | None = None
    ratio_basis: Literal["poured", "finished"] = "poured"
    way: Way = "maceration"
    belongs_to: Code | None = None


@dataclass(frozen=True, kw_only=True)
class Shaken(Fact):
    """One or many jars were shaken."""

    kind: Literal["shaken"] = "shaken"
    jars: Annotated[tuple[EventId, ...], MinLen(1), Meta(min_length=1)]


@dataclass(frozen=True, kw_only=True)
class ToppedUp(Fact):
    """More menstruum was poured onto the herb."""

    kind: Literal["topped_up"] = "topped_up"
    about: About
    pours: Annotated[tuple[Pour, ...], MinLen(1), Meta(min_length=1)]


@dataclass(frozen=True, kw_only=True)
class LookedAt(Fact):
    """Somebody looked, and says what was seen, what it means, and when to look again.

    `lifts`: the event that held it until then, where who looked knew of that.
    """

    kind: Literal["looked_at"] = "looked_at"
    about: About
    signs: tuple[Sign, ...] = ()
    verdict: Verdict = "fine"
    again_on: date | None = None
    lifts: EventId | None = None
    lid: Name | None = None
    barrier: Name | None = None
    filled_ml: Millilitres | None = None  # what it stood at, herb and menstruum together
    filled_written: Text | None = None
    filled_known: Known = "measured"


@dataclass(frozen=True, kw_only=True)
class Moved(Fact):
    """The thing stands elsewhere now, or in another vessel, under another lid, or is somebody's.

    `belongs_to` is a reference, never a name; `none` where it belongs to nobody any more.
    """

    kind: Literal["moved"] = "moved"
    about: About
    place: Name | None = None
    jar_ml: Millilitres | None = None
    lid: Name | None = None
    barrier: Name | None = None
    belongs_to: Code | None = None


@dataclass(frozen=True, kw_only=True)
class HerbAdded(HerbFact):
    """More herb went into a jar that stands already; the shortest time starts again here."""

    kind: Literal["herb_added"] = "herb_added"
    about: About


@dataclass(frozen=True, kw_only=True)
class DrawnOff(Fact):
    """Some of the liquid was taken off the herb, which stays in; it opens an extract."""

    kind: Literal["drawn_off"] = "drawn_off"
    about: About
    letter: Letter
    volume_ml: Millilitres
    written: Text | None = None
    known: Known = "measured"
    keeps: IsoPeriod


@dataclass(frozen=True, kw_only=True)
class Recharged(Rest, HerbFact):
    """New herb was put in an old extract, `about`: it goes back into its jar for a new steep."""

    kind: Literal["recharged"] = "recharged"
    about: About
    volume_ml: Millilitres | None = None
    ratio_meant: Name | None = None
    past_date_why: Reason | None = None  # why an extract past its date was used


@dataclass(frozen=True, kw_only=True)
class SteepedAgain(Rest, Fact):
    """New menstruum was poured on the old marc of a jar that was pressed."""

    kind: Literal["steeped_again"] = "steeped_again"
    about: About
    pours: Annotated[tuple[Pour, ...], MinLen(1), Meta(min_length=1)]
    past_date_why: Reason | None = None  # why marc past its date was used
    way: Way = "maceration"


@dataclass(frozen=True, kw_only=True)
class SplitPart(Shape):
    """One of the jars a jar was split into, and its share of herb and liquid."""

    code: Code
    share: Share
    jar_ml: Millilitres | None = None


@dataclass(frozen=True, kw_only=True)
class Split(Fact):
    """A jar was shared out into others, herb and liquid alike.

    The new jars are known by this event's id and their place in `into`, counted from 1:
    `….1`, `….2`. Shares that come to less than one leave the rest in the old jar.
    """

    kind: Literal["split"] = "split"
    about: About
    into: Annotated[tuple[SplitPart, ...], MinLen(1), Meta(min_length=1)]


@dataclass(frozen=True, kw_only=True)
class Joined(Fact):
    """Jars went into one, herb and all; the new jar is known by this event's id."""

    kind: Literal["joined"] = "joined"
    code: Code
    parts: Annotated[tuple[EventId, ...], MinLen(2), Meta(min_length=2)]
    jar_ml: Millilitres | None = None


@dataclass(frozen=True, kw_only=True)
class Found(Fact):
    """A jar nobody knows the history of stands on the shelf: on hold until it is released.

    When it was charged may be guessed: `charged_from` is the first day it can have been, and
    `charged_precision` says how long the range is from there.
    """

    kind: Literal["found"] = "found"
    code: Code
    herb: Name
    common: Name | None = None
    part: Name | None = None
    form: Form
    volume_ml: Millilitres | None = None
    written: Text | None = None
    jar_ml: Millilitres | None = None
    lid: Name | None = None
    barrier: Name | None = None
    place: Name | None = None
    belongs_to: Code | None = None
    charged_from: date | None = None
    charged_precision: GuessPrecision = "day"
    least: IsoPeriod | None = None
    longest: IsoPeriod | None = None
