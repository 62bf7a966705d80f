"""What the facts are made of: measured amounts, names, words of the trade, what they are about.

Plain dataclasses, so that replay costs what a constructor costs. What goes into the book is
validated against these same classes by pydantic; what comes back out of a line whose digest
holds is decoded by msgspec (both in `tracker.journal.line`). They have no slots because
msgspec fills a plain instance in less than half the time.
"""

from dataclasses import dataclass
from typing import Annotated, ClassVar, Literal

from annotated_types import Ge, Gt, Le, MaxLen, MinLen, Predicate
from msgspec import Meta

from tracker.core.practice.shake_plan import ShakePhase
from tracker.core.values.money import MONEY, is_money
from tracker.core.values.text import says_something
from tracker.core.values.times import is_period

# Every limit is said twice: to pydantic, which names the field to the person who went beyond
# it, and to msgspec (Meta), which holds corrections and lines to it at no cost.
EventId = Annotated[str, MinLen(8), MaxLen(64), Meta(min_length=8, max_length=64)]
Text = Annotated[str, MaxLen(2000), Predicate(says_something), Meta(max_length=2000)]
Reason = Annotated[
    str, MinLen(1), MaxLen(2000), Predicate(says_something), Meta(min_length=1, max_length=2000)
]
Name = Annotated[
    str, MinLen(1), MaxLen(200), Predicate(says_something), Meta(min_length=1, max_length=200)
]
Code = Annotated[
    str, MinLen(1), MaxLen(40), Predicate(says_something), Meta(min_length=1, max_length=40)
]
Letter = Annotated[str, MinLen(1), MaxLen(3), Predicate(str.isalpha), Meta(pattern="^[A-Z]{1,3}$")]
Grams = Annotated[float, Gt(0), Le(1_000_000), Meta(gt=0, le=1_000_000)]
Millilitres = Annotated[float, Gt(0), Le(1_000_000), Meta(gt=0, le=1_000_000)]
GramsOrNone = Annotated[float, Ge(0), Le(1_000_000), Meta(ge=0, le=1_000_000)]
MillilitresOrNone = Annotated[float, Ge(0), Le(1_000_000), Meta(ge=0, le=1_000_000)]
PercentVol = Annotated[float, Ge(0), Le(100), Meta(ge=0, le=100)]
PercentMass = Annotated[float, Ge(0), Le(100), Meta(ge=0, le=100)]
Number = Annotated[int, Ge(1), Le(1_000_000), Meta(ge=1, le=1_000_000)]
IsoPeriod = Annotated[str, Predicate(is_period), Meta(pattern="^P([0-9]+[YMWD])+$")]

# An exact amount of the maker's money, as text: floats cannot hold a cent.
Money = Annotated[str, Predicate(is_money), Meta(pattern=MONEY)]
Share = Annotated[float, Gt(0), Le(1), Meta(gt=0, le=1)]

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


@dataclass(frozen=True, kw_only=True)
class Shape:
    """What goes into the book has the fields named here and no others."""

    __pydantic_config__: ClassVar[dict[str, str]] = {"extra": "forbid"}


@dataclass(frozen=True, kw_only=True)
class Fact(Shape):
    """What every kind shares: the version of its shape, who did it, and a free remark."""

    v: Literal[1] = 1
    by: Name | None = None
    note: Text | None = None


@dataclass(frozen=True, kw_only=True)
class About(Shape):
    """The thing a fact is about, by identity: a jar, an extract pressed from it, a bottle, a lot.

    A jar is known by the id of its charge, an extract by the id of its pressing, a bottle by
    its number within its extract; a lot stands in `jar`, by the id of what brought it in.
    Codes are for people and live in the event's subject.
    """

    jar: EventId
    extract: EventId | None = None
    bottle: Number | None = None


@dataclass(frozen=True, kw_only=True)
class Pour(Shape):
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


@dataclass(frozen=True, kw_only=True)
class Portion(Shape):
    """So much taken of an extract or bottle."""

    about: About
    volume_ml: Millilitres
    written: Text | None = None


@dataclass(frozen=True, kw_only=True)
class HerbFact(Fact):
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


@dataclass(frozen=True, kw_only=True)
class Rest(Shape):
    """How long herb and liquid stand together, and when they are shaken meanwhile."""

    least: IsoPeriod
    longest: IsoPeriod | None = None
    shake: tuple[ShakePhase, ...] = ()
