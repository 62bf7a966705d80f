"""A lot: herb or liquid that came in."""

from typing import Literal

import msgspec

from tracker.core.menstruum.liquids import SUGAR_ML_PER_G, called
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.flow import Flow
from tracker.core.shelf.hold import Hold
from tracker.core.values.times import When


class LotChange(msgspec.Struct, frozen=True):
    """So much of a lot dried, thrown out, or found to be there; `order` as that of a use."""

    event: str
    how: Literal["dried", "discarded", "counted"]
    amount: float
    on: When
    order: str = ""


class Lot(msgspec.Struct, omit_defaults=True):
    """A gathered or bought amount of herb or liquid, and where it came from."""

    id: str
    code: str
    on: When
    how: str  # gathered, bought or dried
    amount: float  # g of herb, or ml of liquid
    born: str = ""
    herb: str | None = None
    common: str | None = None
    part: str | None = None
    form: str | None = None
    water_pct_mass: float | None = None
    liquid: str | None = None
    ethanol_pct_vol: float | None = 0.0
    glycerin_pct_mass: float | None = None
    name: str | None = None
    where: str | None = None
    their_lot: str | None = None
    paid: str | None = None
    known: str = "weighed"
    parent: Flow | None = None
    hold: Hold | None = None
    changes: list[LotChange] = []
    flags: list[Flag] = []

    @property
    def begun(self) -> When:
        """When it came in."""
        return self.on

    @property
    def opened(self) -> str:
        """How it came in."""
        return self.how

    @property
    def unit(self) -> str:
        """What its amount is counted in: `g` or `ml`."""
        return "g" if self.liquid is None else "ml"

    @property
    def ml_of_gram(self) -> float | None:
        """Of sugar, which is kept in ml and weighed by everybody: what a gram of it takes up."""
        return SUGAR_ML_PER_G if self.liquid == "sugar" else None

    @property
    def discards(self) -> tuple[str, ...]:
        """The events that threw some of it out and are in force."""
        return tuple(one.event for one in self.changes if one.how == "discarded")

    @property
    def counts(self) -> list[LotChange]:
        """What was found to be there and when, the earliest first."""
        found = (one for one in self.changes if one.how == "counted")
        return sorted(found, key=lambda one: one.order)

    @property
    def most(self) -> float:
        """The most there ever was of it: what came in, or more where a count found more."""
        return max(self.amount, *(one.amount for one in self.counts), 0.0)

    def is_counted_after(self, when: When) -> bool:
        """Whether a count of a later day restates what was left of it."""
        return any(one.on.earliest > when.latest for one in self.changes if one.how == "counted")

    @property
    def on_hold(self) -> bool:
        """Whether it is on hold, be it that it was called back."""
        return self.hold is not None

    @property
    def recalled(self) -> Hold | None:
        """The hold that calls it back, where that is in force."""
        return self.hold if self.hold is not None and self.hold.kind == "recall" else None

    @property
    def what(self) -> str:
        """What it is, in a few words."""
        return f"{self.substance}, {self.form}" if self.liquid is None else self.substance

    @property
    def substance(self) -> str:
        """What it is without its form."""
        if self.liquid is None:
            return f"{self.herb} {self.part}" if self.part else f"{self.herb}"
        return called(self.liquid, self.ethanol_pct_vol, self.glycerin_pct_mass, self.name)
