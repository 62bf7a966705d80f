"""What happens to herb and menstruum in a jar, from the charge to the pressing."""

from dataclasses import dataclass
from typing import Annotated, Literal

from annotated_types import MinLen
from msgspec import Meta

from tracker.core.facts.fields import (
    About,
    Code,
    EventId,
    Fact,
    Form,
    Grams,
    IsoPeriod,
    Known,
    Millilitres,
    Name,
    Number,
    PercentMass,
    Pour,
    Sign,
    Text,
    Verdict,
)
from tracker.core.practice import Preparation
from tracker.core.shaking import ShakePhase


@dataclass(frozen=True, kw_only=True)
class Charged(Fact):
    """Herb went into a jar and menstruum was poured over it: day 0 of the maceration."""

    kind: Literal["charged"] = "charged"
    code: Code
    herb: Name
    common: Name | None = None
    part: Name | None = None
    form: Form
    herb_g: Grams | None = None
    herb_written: Text | None = None
    herb_known: Known = "weighed"
    herb_water_pct_mass: PercentMass | None = None
    pours: Annotated[tuple[Pour, ...], MinLen(1), Meta(min_length=1)]
    preparation: Preparation
    lots: tuple[Name, ...] = ()
    jar_ml: Millilitres | None = None
    lid: Name | None = None
    barrier: Name | None = None
    place: Name | None = None
    least: IsoPeriod
    longest: IsoPeriod | None = None
    shake: tuple[ShakePhase, ...] = ()
    look_days: tuple[Number, ...] = ()
    ratio_meant: Name | None = None
    ratio_basis: Literal["poured", "finished"] = "poured"


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
    """Somebody looked, and says what was seen and what it means."""

    kind: Literal["looked_at"] = "looked_at"
    about: About
    signs: tuple[Sign, ...] = ()
    verdict: Verdict = "fine"
    lid: Name | None = None
    barrier: Name | None = None


@dataclass(frozen=True, kw_only=True)
class Moved(Fact):
    """The thing stands elsewhere now, or in another vessel, or under another lid."""

    kind: Literal["moved"] = "moved"
    about: About
    place: Name | None = None
    jar_ml: Millilitres | None = None
    lid: Name | None = None
    barrier: Name | None = None
