"""The facts the book can hold, one frozen class per kind. Past tense, never edited.

Plain dataclasses, so that replay costs what a constructor costs. What goes into the book is
validated against these same classes by pydantic; what comes back out of a line whose digest
holds is decoded by msgspec (both in `tracker.journal.wire`). They have no slots because
msgspec fills a plain instance in less than half the time.
"""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Annotated, ClassVar, Literal

from annotated_types import Ge, Gt, Le, MaxLen, MinLen, Predicate
from msgspec import Meta

from tracker.core.plain import is_plain, says_something
from tracker.core.practice import Preparation
from tracker.core.shaking import ShakePhase
from tracker.core.shelf import HOUSE
from tracker.core.times import When, is_period

# Every limit is said twice: to pydantic, which names the field to the person who went beyond
# it, and to msgspec (Meta), which holds corrections and lines to it at no cost.
EventId = Annotated[str, MinLen(8), MaxLen(64), Meta(min_length=8, max_length=64)]
Text = Annotated[str, MaxLen(2000), Predicate(is_plain), Meta(max_length=2000)]
Reason = Annotated[
    str, MinLen(1), MaxLen(2000), Predicate(says_something), Meta(min_length=1, max_length=2000)
]
Name = Annotated[
    str, MinLen(1), MaxLen(200), Predicate(says_something), Meta(min_length=1, max_length=200)
]
Code = Annotated[
    str, MinLen(1), MaxLen(40), Predicate(says_something), Meta(min_length=1, max_length=40)
]
Letter = Annotated[
    str, MinLen(1), MaxLen(3), Predicate(str.isalpha), Meta(pattern="^[A-Z]{1,3}$")
]
Grams = Annotated[float, Gt(0), Le(1_000_000), Meta(gt=0, le=1_000_000)]
Millilitres = Annotated[float, Gt(0), Le(1_000_000), Meta(gt=0, le=1_000_000)]
MillilitresOrNone = Annotated[float, Ge(0), Le(1_000_000), Meta(ge=0, le=1_000_000)]
PercentVol = Annotated[float, Ge(0), Le(100), Meta(ge=0, le=100)]
PercentMass = Annotated[float, Ge(0), Le(100), Meta(ge=0, le=100)]
Number = Annotated[int, Ge(1), Le(1_000_000), Meta(ge=1, le=1_000_000)]
IsoPeriod = Annotated[str, Predicate(is_period), Meta(pattern="^P([0-9]+[YMWD])+$")]

Known = Literal["weighed", "measured", "by eye", "reckoned", "unknown"]
Form = Literal["fresh", "dried"]
Liquid = Literal["ethanol", "water", "glycerin", "vinegar", "honey", "oil", "syrup", "other"]
Verdict = Literal["fine", "watch", "hold"]
Sign = Literal["mould", "flecks", "level", "smell", "lid", "cloudy", "other"]
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
    """The thing a fact is about, by identity: a jar, a liquor pressed from it, or a bottle.

    A jar is known by the id of its charge, a liquor by the id of its pressing, a bottle by
    its number within its liquor. Codes are for people and live in the event's subject.
    """

    jar: EventId
    liquor: EventId | None = None
    bottle: Number | None = None


@dataclass(frozen=True, kw_only=True)
class Pour(Shape):
    """One liquid poured on the herb. An ethanol-water spirit is `ethanol` at its strength."""

    liquid: Liquid
    volume_ml: Millilitres
    ethanol_pct_vol: PercentVol = 0.0
    name: Name | None = None
    written: Text | None = None
    known: Known = "measured"


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


@dataclass(frozen=True, kw_only=True)
class Pressed(Fact):
    """The marc was pressed; what came out opens a liquor, known by this event's id."""

    kind: Literal["pressed"] = "pressed"
    about: About
    letter: Letter
    volume_ml: Millilitres
    written: Text | None = None
    known: Known = "measured"
    how: Name | None = None
    marc: Marc | None = None
    keeps: IsoPeriod


@dataclass(frozen=True, kw_only=True)
class Filtered(Fact):
    """A liquor went through a filter; `volume_ml` is what there is of it afterwards."""

    kind: Literal["filtered"] = "filtered"
    about: About
    volume_ml: Millilitres
    before_ml: Millilitres | None = None
    written: Text | None = None
    known: Known = "measured"
    through: Name | None = None


@dataclass(frozen=True, kw_only=True)
class BottleRun(Shape):
    """So many bottles of one size, numbered from `first`."""

    size_ml: Millilitres
    count: Annotated[int, Ge(1), Le(10_000), Meta(ge=1, le=10_000)]
    first: Number
    written: Text | None = None


@dataclass(frozen=True, kw_only=True)
class Bottled(Fact):
    """Numbered bottles were filled from a liquor; the rest stays in it."""

    kind: Literal["bottled"] = "bottled"
    about: About
    bottles: Annotated[tuple[BottleRun, ...], MinLen(1), Meta(min_length=1)]


@dataclass(frozen=True, kw_only=True)
class Dispensed(Fact):
    """Some or all of a liquor or bottle was given out, under a reference, never a name."""

    kind: Literal["dispensed"] = "dispensed"
    about: About
    volume_ml: Millilitres | None = None
    written: Text | None = None
    reference: Code | None = None


@dataclass(frozen=True, kw_only=True)
class Counted(Fact):
    """What is really there, measured on the shelf."""

    kind: Literal["counted"] = "counted"
    about: About
    volume_ml: MillilitresOrNone
    written: Text | None = None
    known: Known = "measured"


@dataclass(frozen=True, kw_only=True)
class Discarded(Fact):
    """A jar, liquor or bottle was thrown out, all of it or a part, and why."""

    kind: Literal["discarded"] = "discarded"
    about: About
    volume_ml: Millilitres | None = None
    written: Text | None = None
    why: Text


@dataclass(frozen=True, kw_only=True)
class Restored(Fact):
    """Something discarded is on the shelf again."""

    kind: Literal["restored"] = "restored"
    about: About
    discard: EventId
    why: Text | None = None


@dataclass(frozen=True, kw_only=True)
class Noted(Fact):
    """A remark about a thing, in `note`."""

    kind: Literal["noted"] = "noted"
    about: About


@dataclass(frozen=True, kw_only=True)
class Later(Fact):
    """One reminder about one thing is put off: it is said again on the day `until`."""

    kind: Literal["later"] = "later"
    about: About
    what: Waiting
    until: date


@dataclass(frozen=True, kw_only=True)
class Away(Fact):
    """Nobody is there to be reminded, from the first day through the last."""

    kind: Literal["away"] = "away"
    first: date
    last: date


@dataclass(frozen=True, kw_only=True)
class Corrected(Fact):
    """Named fields of an earlier event have other values, and why.

    `jars` lists the charges of every jar whose history this touches. `set` holds data fields
    by their name in the file; `time` and `precision` stand for when it happened, `subject`
    for the code written on it.
    """

    kind: Literal["corrected"] = "corrected"
    event: EventId
    jars: Annotated[tuple[EventId, ...], MinLen(1), Meta(min_length=1)]
    set: Annotated[dict[str, object], MinLen(1), Meta(min_length=1)]
    why: Reason


@dataclass(frozen=True, kw_only=True)
class Struck(Fact):
    """An earlier event is taken out, and why."""

    kind: Literal["struck"] = "struck"
    event: EventId
    jars: Annotated[tuple[EventId, ...], MinLen(1), Meta(min_length=1)]
    why: Reason


@dataclass(frozen=True, kw_only=True)
class SameAs(Fact):
    """Two records are of one happening: `event` counts no longer, `stands` does.

    What was recorded about a liquor that `event` opened counts for that of `stands`.
    """

    kind: Literal["same_as"] = "same_as"
    event: EventId
    stands: EventId
    jars: Annotated[tuple[EventId, ...], MinLen(1), Meta(min_length=1)]
    why: Text | None = None


AnyFact = (
    Charged
    | Shaken
    | ToppedUp
    | LookedAt
    | Moved
    | Pressed
    | Filtered
    | Bottled
    | Dispensed
    | Counted
    | Discarded
    | Restored
    | Noted
    | Later
    | Away
    | Corrected
    | Struck
    | SameAs
)


@dataclass(frozen=True, kw_only=True)
class Unknown:
    """A fact of a kind, or a version of one, that a later program wrote: kept, never guessed.

    It belongs to the jars it names, and never goes into the book from here.
    """

    kind: str
    v: int = 1
    jars: tuple[EventId, ...] = ()
    by: str | None = None
    note: str | None = None


Recorded = AnyFact | Unknown


@dataclass(slots=True)
class Entry:
    """One line of the book: a fact, when it happened, and who wrote it down when.

    Treated as frozen; it is not declared so because one is built per line on every rebuild.
    """

    id: str
    source: str
    sequence: int
    subject: str
    when: When
    recorded: datetime
    fact: Recorded

    @property
    def kind(self) -> str:
        """The event kind, as it stands on the line."""
        return self.fact.kind

    @property
    def jars(self) -> tuple[str, ...]:
        """The charges of every jar whose history this entry belongs to."""
        return jars_of(self.id, self.fact)


def jars_of(event_id: str, fact: Recorded) -> tuple[str, ...]:
    """The ids of the jars a fact belongs to: its own if it is a charge."""
    if isinstance(fact, (Shaken, Corrected, Struck, SameAs)):  # no union: built on each call
        return fact.jars
    if isinstance(fact, Away):
        return (HOUSE,)
    if isinstance(fact, Unknown):
        return fact.jars or (HOUSE,)
    return (event_id,) if isinstance(fact, Charged) else (fact.about.jar,)


def replay_order(entry: Entry) -> tuple[datetime, datetime, str, int]:
    """The place of an entry in the history: happened, recorded, source, sequence."""
    return (entry.when.start, entry.recorded, entry.source, entry.sequence)
