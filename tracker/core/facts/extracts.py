"""What happens to an extract and its bottles, from the pressing to the last drop."""

from dataclasses import dataclass
from typing import Annotated, Literal

from annotated_types import Ge, Le, MinLen
from msgspec import Meta

from tracker.core.facts.fields import (
    About,
    Code,
    EventId,
    Fact,
    Grams,
    GramsOrNone,
    IsoPeriod,
    Known,
    Letter,
    Marc,
    Millilitres,
    MillilitresOrNone,
    Money,
    Name,
    Number,
    Portion,
    Pour,
    Shape,
    Text,
)


@dataclass(frozen=True, kw_only=True)
class Pressed(Fact):
    """The marc was pressed; what came out opens an extract, known by this event's id."""

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
class PressedAgain(Fact):
    """The same marc was pressed once more, into the extract that its pressing had opened."""

    kind: Literal["pressed_again"] = "pressed_again"
    about: About
    volume_ml: Millilitres
    written: Text | None = None
    known: Known = "measured"
    how: Name | None = None


@dataclass(frozen=True, kw_only=True)
class Filtered(Fact):
    """An extract went through a filter; `volume_ml` is what there is of it afterwards."""

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
    paid_each: Money | None = None


@dataclass(frozen=True, kw_only=True)
class Bottled(Fact):
    """Numbered bottles were filled from an extract; the rest stays in it."""

    kind: Literal["bottled"] = "bottled"
    about: About
    bottles: Annotated[tuple[BottleRun, ...], MinLen(1), Meta(min_length=1)]


@dataclass(frozen=True, kw_only=True)
class Dispensed(Fact):
    """Some or all of an extract or bottle was given out, under a reference, never a name.

    A jar is given out whole, with the herb that is in it.
    """

    kind: Literal["dispensed"] = "dispensed"
    about: About
    volume_ml: Millilitres | None = None
    written: Text | None = None
    reference: Code | None = None


@dataclass(frozen=True, kw_only=True)
class Counted(Fact):
    """What is really there, measured on the shelf; of a lot of herb in grams."""

    kind: Literal["counted"] = "counted"
    about: About
    volume_ml: MillilitresOrNone | None = None
    herb_g: GramsOrNone | None = None
    written: Text | None = None
    known: Known = "measured"


@dataclass(frozen=True, kw_only=True)
class Discarded(Fact):
    """A jar, extract, bottle or lot was thrown out, all of it or a part, and why."""

    kind: Literal["discarded"] = "discarded"
    about: About
    volume_ml: Millilitres | None = None
    herb_g: Grams | None = None
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
class Settled(Fact):
    """An extract stood until it was clear and was poured off its lees."""

    kind: Literal["settled"] = "settled"
    about: About
    volume_ml: Millilitres
    before_ml: Millilitres | None = None
    written: Text | None = None
    known: Known = "measured"


@dataclass(frozen=True, kw_only=True)
class MadeUp(Fact):
    """An extract was made up to a volume with what was poured in; `keeps` as in `Diluted`."""

    kind: Literal["made_up"] = "made_up"
    about: About
    pours: Annotated[tuple[Pour, ...], MinLen(1), Meta(min_length=1)]
    volume_ml: Millilitres
    written: Text | None = None
    keeps: IsoPeriod | None = None


@dataclass(frozen=True, kw_only=True)
class Diluted(Fact):
    """An extract was diluted or sweetened; without a volume it is all that was put together.

    `keeps` is how long it keeps from its pressing if it was made strong in time.
    """

    kind: Literal["diluted"] = "diluted"
    about: About
    pours: Annotated[tuple[Pour, ...], MinLen(1), Meta(min_length=1)]
    volume_ml: Millilitres | None = None
    written: Text | None = None
    keeps: IsoPeriod | None = None


@dataclass(frozen=True, kw_only=True)
class Blended(Fact):
    """Extracts were put together; the blend is known by this event's id."""

    kind: Literal["blended"] = "blended"
    code: Code
    parts: Annotated[tuple[Portion, ...], MinLen(2), Meta(min_length=2)]
    volume_ml: Millilitres | None = None
    written: Text | None = None


@dataclass(frozen=True, kw_only=True)
class Refilled(Fact):
    """A bottle in use was filled again from an extract or another bottle."""

    kind: Literal["refilled"] = "refilled"
    about: About
    source: Portion
