"""What happens to herb and menstruum in a jar, from the charge to the pressing."""

from datetime import date
from typing import Annotated, ClassVar, Literal

from msgspec import Meta

from tracker.core.facts.fields import (
    About,
    Code,
    EventId,
    Fact,
    Form,
    GuessPrecision,
    HerbFact,
    HerbToRest,
    IsoPeriod,
    Known,
    Letter,
    Millilitres,
    Name,
    Number,
    Pour,
    Reason,
    Shape,
    Share,
    Sign,
    Text,
    Verdict,
)
from tracker.core.practice.practice import Preparation, Way
from tracker.core.practice.shake_plan import ShakePhase


class Charged(HerbToRest, frozen=True, kw_only=True):
    """Herb went into a jar and menstruum was poured over it: day 0 of the maceration."""

    kind: ClassVar[str] = "charged"
    code: Code
    pours: Annotated[tuple[Pour, ...], Meta(min_length=1)]
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


class Shaken(Fact, frozen=True, kw_only=True):
    """One or many jars were shaken."""

    kind: ClassVar[str] = "shaken"
    jars: Annotated[tuple[EventId, ...], Meta(min_length=1)]


class ToppedUp(Fact, frozen=True, kw_only=True):
    """More menstruum was poured onto the herb."""

    kind: ClassVar[str] = "topped_up"
    about: About
    pours: Annotated[tuple[Pour, ...], Meta(min_length=1)]


class LookedAt(Fact, frozen=True, kw_only=True):
    """Somebody looked, and says what was seen, what it means, and when to look again.

    `lifts`: the event that held it until then, where who looked knew of that.
    """

    kind: ClassVar[str] = "looked_at"
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


class Moved(Fact, frozen=True, kw_only=True):
    """The thing stands elsewhere now, or in another vessel, under another lid, or is somebody's.

    `belongs_to` is a reference, never a name; `none` where it belongs to nobody any more.
    """

    kind: ClassVar[str] = "moved"
    about: About
    place: Name | None = None
    jar_ml: Millilitres | None = None
    lid: Name | None = None
    barrier: Name | None = None
    belongs_to: Code | None = None


class HerbAdded(HerbFact, frozen=True, kw_only=True):
    """More herb went into a jar that stands already; the shortest time starts again here."""

    kind: ClassVar[str] = "herb_added"
    about: About


class DrawnOff(Fact, frozen=True, kw_only=True):
    """Some of the liquid was taken off the herb, which stays in; it opens an extract."""

    kind: ClassVar[str] = "drawn_off"
    about: About
    letter: Letter
    volume_ml: Millilitres
    written: Text | None = None
    known: Known = "measured"
    keeps: IsoPeriod


class Recharged(HerbToRest, frozen=True, kw_only=True):
    """New herb was put in an old extract, `about`: it goes back into its jar for a new steep."""

    kind: ClassVar[str] = "recharged"
    about: About
    volume_ml: Millilitres | None = None
    ratio_meant: Name | None = None
    past_date_why: Reason | None = None  # why an extract past its date was used


class SteepedAgain(Fact, frozen=True, kw_only=True):
    """New menstruum was poured on the old marc of a jar that was pressed."""

    least: IsoPeriod
    longest: IsoPeriod | None = None
    shake: tuple[ShakePhase, ...] = ()
    kind: ClassVar[str] = "steeped_again"
    about: About
    pours: Annotated[tuple[Pour, ...], Meta(min_length=1)]
    past_date_why: Reason | None = None  # why marc past its date was used
    way: Way = "maceration"


class SplitPart(Shape, frozen=True, kw_only=True):
    """One of the jars a jar was split into, and its share of herb and liquid."""

    code: Code
    share: Share
    jar_ml: Millilitres | None = None


class Split(Fact, frozen=True, kw_only=True):
    """A jar was shared out into others, herb and liquid alike.

    The new jars are known by this event's id and their place in `into`, counted from 1:
    `….1`, `….2`. Shares that come to less than one leave the rest in the old jar.
    """

    kind: ClassVar[str] = "split"
    about: About
    into: Annotated[tuple[SplitPart, ...], Meta(min_length=1)]


class Joined(Fact, frozen=True, kw_only=True):
    """Jars went into one, herb and all; the new jar is known by this event's id."""

    kind: ClassVar[str] = "joined"
    code: Code
    parts: Annotated[tuple[EventId, ...], Meta(min_length=2)]
    jar_ml: Millilitres | None = None


class Found(Fact, frozen=True, kw_only=True):
    """A jar nobody knows the history of stands on the shelf: on hold until it is released.

    When it was charged may be guessed: `charged_from` is the first day it can have been, and
    `charged_precision` says how long the range is from there.
    """

    kind: ClassVar[str] = "found"
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


# What begins a steep, and says how long herb and liquid stand together.
Steeping = Charged | Recharged | SteepedAgain
