"""What the facts are made of: measured amounts, names, words of the trade, what they are about.

Frozen msgspec structs: a line whose digest holds is decoded straight into them. A fact on its way
into the book is held to the same limits (`core/facts/limits.py`).
"""

from typing import Annotated, Literal

import msgspec
from msgspec import Meta

from tracker.core.practice.shake_plan import ShakePhase
from tracker.core.values.money import MONEY, is_money
from tracker.core.values.text import says_something
from tracker.core.values.times import is_period

# A function beside a Meta is what Meta cannot say: asked of a value on its way into the book, and
# never of a line that is in it.
EventId = Annotated[str, Meta(min_length=8, max_length=64)]
Text = Annotated[str, Meta(max_length=2000), says_something]
Reason = Annotated[str, Meta(min_length=1, max_length=2000), says_something]
Name = Annotated[str, Meta(min_length=1, max_length=200), says_something]
Code = Annotated[str, Meta(min_length=1, max_length=40), says_something]
Letter = Annotated[str, Meta(pattern="^[A-Z]{1,3}$")]
Grams = Annotated[float, Meta(gt=0, le=1_000_000)]
Millilitres = Annotated[float, Meta(gt=0, le=1_000_000)]
GramsOrNone = Annotated[float, Meta(ge=0, le=1_000_000)]
MillilitresOrNone = Annotated[float, Meta(ge=0, le=1_000_000)]
PercentVol = Annotated[float, Meta(ge=0, le=100)]
PercentMass = Annotated[float, Meta(ge=0, le=100)]
Number = Annotated[int, Meta(ge=1, le=1_000_000)]
IsoPeriod = Annotated[str, is_period, Meta(pattern="^P([0-9]+[YMWD])+$")]

# An exact amount of the maker's money, as text: floats cannot hold a cent.
Money = Annotated[str, Meta(pattern=MONEY), is_money]
Share = Annotated[float, Meta(gt=0, le=1)]

Known = Literal["weighed", "measured", "by eye", "reckoned", "unknown"]
Form = Literal["fresh", "dried"]
Liquid = Literal[
    "ethanol", "water", "glycerin", "vinegar", "honey", "oil", "syrup", "sugar", "other"
]  # fmt: skip
# What stands on the shelf already can be poured as well; no lot of it is bought.
PouredLiquid = Literal[Liquid, "extract"]
Verdict = Literal["fine", "watch", "hold"]
Sign = Literal[
    "mould",
    "slime",
    "gas",
    "smell",
    "flecks",
    "cloudy",
    "level",
    "sediment",
    "taste",
    "colour",
    "lid",
    "other",
]
# How exactly a guess names the day something happened.
GuessPrecision = Literal["day", "month", "season", "year"]
Marc = Literal["kept", "composted"]
Waiting = Literal["past-longest", "ready", "shake", "look", "expiring", "expired", "count"]


class Shape(msgspec.Struct, frozen=True, kw_only=True, gc=False):
    """What goes into the book; nothing in it can lead back to itself."""


class Fact(Shape, frozen=True, kw_only=True):
    """What every kind shares: the version of its shape, who did it, and a free remark."""

    v: Literal[1] = 1
    by: Name | None = None
    note: Text | None = None


class About(Shape, frozen=True, kw_only=True):
    """The thing a fact is about, by identity: a jar, an extract pressed from it, a bottle, a lot.

    A jar is known by the id of its charge, an extract by the id of its pressing, a bottle by
    its number within its extract; a lot stands in `jar`, by the id of what brought it in.
    Codes are for people and live in the event's subject.
    """

    jar: EventId
    extract: EventId | None = None
    bottle: Number | None = None


class Pour(Shape, frozen=True, kw_only=True):
    """One liquid poured in. An ethanol-water spirit is `ethanol` at its strength.

    A strength of None is not known. A glycerin that is said to hold no water has None for
    `glycerin_pct_mass`; the volume of a sugar is what it adds once it is dissolved.

    `of`: the extract or bottle it was poured out of. The liquid is then `extract`, and what it
    is made of, how strong it is and what it cost is what the book says of that one.
    """

    liquid: PouredLiquid
    volume_ml: Millilitres
    ethanol_pct_vol: PercentVol | None = 0.0
    glycerin_pct_mass: PercentMass | None = None
    name: Name | None = None
    written: Text | None = None
    known: Known = "measured"
    lot: EventId | None = None
    paid: Money | None = None
    of: About | None = None


class Portion(Shape, frozen=True, kw_only=True):
    """So much taken of an extract or bottle."""

    about: About
    volume_ml: Millilitres
    written: Text | None = None


class HerbFact(Fact, frozen=True, kw_only=True):
    """A herb put in a jar: what it is, how much, what water it brings, and where from."""

    herb: Name
    common: Name | None = None
    part: Name | None = None
    form: Form
    herb_g: Grams | None = None
    herb_written: Text | None = None
    herb_known: Known = "weighed"
    herb_water_pct_mass: PercentMass | None = None
    herb_lot: EventId | None = None
    herb_paid: Money | None = None


class HerbToRest(HerbFact, frozen=True, kw_only=True):
    """Herb put in a jar with liquid: how long they stand, and when they are shaken meanwhile."""

    least: IsoPeriod
    longest: IsoPeriod | None = None
    shake: tuple[ShakePhase, ...] = ()
