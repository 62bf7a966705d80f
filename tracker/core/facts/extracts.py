"""What happens to an extract and its bottles, from the pressing to the last drop."""

from typing import Annotated, ClassVar

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


class Pressed(Fact, frozen=True, kw_only=True):
    """The marc was pressed; what came out opens an extract, known by this event's id."""

    kind: ClassVar[str] = "pressed"
    about: About
    letter: Letter
    volume_ml: Millilitres
    written: Text | None = None
    known: Known = "measured"
    how: Name | None = None
    marc: Marc | None = None
    keeps: IsoPeriod


class PressedAgain(Fact, frozen=True, kw_only=True):
    """The same marc was pressed once more, into the extract that its pressing had opened."""

    kind: ClassVar[str] = "pressed_again"
    about: About
    volume_ml: Millilitres
    written: Text | None = None
    known: Known = "measured"
    how: Name | None = None


class Filtered(Fact, frozen=True, kw_only=True):
    """An extract went through a filter; `volume_ml` is what there is of it afterwards."""

    kind: ClassVar[str] = "filtered"
    about: About
    volume_ml: Millilitres
    before_ml: Millilitres | None = None
    written: Text | None = None
    known: Known = "measured"
    through: Name | None = None


class BottleRun(Shape, frozen=True, kw_only=True):
    """So many bottles of one size, numbered from `first`."""

    size_ml: Millilitres
    count: Annotated[int, Meta(ge=1, le=10_000)]
    first: Number
    written: Text | None = None
    paid_each: Money | None = None


class Bottled(Fact, frozen=True, kw_only=True):
    """Numbered bottles were filled from an extract; the rest stays in it."""

    kind: ClassVar[str] = "bottled"
    about: About
    bottles: Annotated[tuple[BottleRun, ...], Meta(min_length=1)]


class Dispensed(Fact, frozen=True, kw_only=True):
    """Some or all of an extract or bottle was given out, under a reference, never a name.

    A jar is given out whole, with the herb that is in it.
    """

    kind: ClassVar[str] = "dispensed"
    about: About
    volume_ml: Millilitres | None = None
    written: Text | None = None
    reference: Code | None = None


class Counted(Fact, frozen=True, kw_only=True):
    """What is really there, measured on the shelf; of a lot of herb in grams."""

    kind: ClassVar[str] = "counted"
    about: About
    volume_ml: MillilitresOrNone | None = None
    herb_g: GramsOrNone | None = None
    written: Text | None = None
    known: Known = "measured"


class Discarded(Fact, frozen=True, kw_only=True):
    """A jar, extract, bottle or lot was thrown out, all of it or a part, and why."""

    kind: ClassVar[str] = "discarded"
    about: About
    volume_ml: Millilitres | None = None
    herb_g: Grams | None = None
    written: Text | None = None
    why: Text


class Restored(Fact, frozen=True, kw_only=True):
    """Something discarded is on the shelf again."""

    kind: ClassVar[str] = "restored"
    about: About
    discard: EventId
    why: Text | None = None


class Settled(Fact, frozen=True, kw_only=True):
    """An extract stood until it was clear and was poured off its lees."""

    kind: ClassVar[str] = "settled"
    about: About
    volume_ml: Millilitres
    before_ml: Millilitres | None = None
    written: Text | None = None
    known: Known = "measured"


class MadeUp(Fact, frozen=True, kw_only=True):
    """An extract was made up to a volume with what was poured in; `keeps` as in `Diluted`."""

    kind: ClassVar[str] = "made_up"
    about: About
    pours: Annotated[tuple[Pour, ...], Meta(min_length=1)]
    volume_ml: Millilitres
    written: Text | None = None
    keeps: IsoPeriod | None = None


class Diluted(Fact, frozen=True, kw_only=True):
    """An extract was diluted or sweetened; without a volume it is all that was put together.

    `keeps` is how long it keeps from its pressing if it was made strong in time.
    """

    kind: ClassVar[str] = "diluted"
    about: About
    pours: Annotated[tuple[Pour, ...], Meta(min_length=1)]
    volume_ml: Millilitres | None = None
    written: Text | None = None
    keeps: IsoPeriod | None = None


class Blended(Fact, frozen=True, kw_only=True):
    """Extracts were put together; the blend is known by this event's id."""

    kind: ClassVar[str] = "blended"
    code: Code
    parts: Annotated[tuple[Portion, ...], Meta(min_length=2)]
    volume_ml: Millilitres | None = None
    written: Text | None = None


class Refilled(Fact, frozen=True, kw_only=True):
    """A bottle in use was filled again from an extract or another bottle."""

    kind: ClassVar[str] = "refilled"
    about: About
    source: Portion
