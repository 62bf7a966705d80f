"""What comes into the house: herb gathered or dried, herb and spirit bought, lots recalled."""

from typing import ClassVar

from tracker.core.facts.fields import (
    About,
    Code,
    EventId,
    Fact,
    Form,
    Grams,
    Known,
    Liquid,
    Millilitres,
    Money,
    Name,
    PercentMass,
    PercentVol,
    Reason,
    Text,
)


class Gathered(Fact, frozen=True, kw_only=True):
    """Herb was gathered: a lot, known by this event's id."""

    kind: ClassVar[str] = "gathered"
    code: Code
    herb: Name
    common: Name | None = None
    part: Name | None = None
    form: Form = "fresh"
    herb_g: Grams
    written: Text | None = None
    known: Known = "weighed"
    water_pct_mass: PercentMass | None = None
    where: Name | None = None
    paid: Money | None = None


class BoughtHerb(Fact, frozen=True, kw_only=True):
    """Herb was bought: a lot, known by this event's id."""

    kind: ClassVar[str] = "bought_herb"
    code: Code
    herb: Name
    common: Name | None = None
    part: Name | None = None
    form: Form
    herb_g: Grams
    written: Text | None = None
    known: Known = "weighed"
    water_pct_mass: PercentMass | None = None
    where: Name | None = None
    their_lot: Name | None = None
    paid: Money | None = None


class Bought(Fact, frozen=True, kw_only=True):
    """Spirit, glycerin or another liquid was bought: a lot, known by this event's id.

    Strengths are as in a pour: None is not known.
    """

    kind: ClassVar[str] = "bought"
    code: Code
    liquid: Liquid
    volume_ml: Millilitres
    ethanol_pct_vol: PercentVol | None = 0.0
    glycerin_pct_mass: PercentMass | None = None
    name: Name | None = None
    written: Text | None = None
    known: Known = "measured"
    where: Name | None = None
    their_lot: Name | None = None
    paid: Money | None = None


class Dried(Fact, frozen=True, kw_only=True):
    """So much fresh herb of a lot was dried; what is left of it is a lot of its own."""

    kind: ClassVar[str] = "dried"
    about: About
    code: Code
    fresh_g: Grams
    herb_g: Grams
    written: Text | None = None
    known: Known = "weighed"


class Recalled(Fact, frozen=True, kw_only=True):
    """A lot was called back: what holds any of it, `jars`, is on hold from now on.

    Among `jars` are the lots that were dried of it. A lot that is not in the book is called back
    by the name that jars were charged with, `named`; then `about` is the first of those jars.
    """

    kind: ClassVar[str] = "recalled"
    about: About
    jars: tuple[EventId, ...] = ()
    named: Name | None = None
    why: Reason
