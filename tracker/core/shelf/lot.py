"""A lot: herb or liquid that came in."""

import msgspec

from tracker.core.menstruum.liquids import called
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.flow import Flow
from tracker.core.shelf.hold import Hold
from tracker.core.values.times import When


class Lot(msgspec.Struct):
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
    dried_g: float = 0.0  # of fresh herb that became lots of its own
    hold: Hold | None = None
    discards: dict[str, float] = {}
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
        if self.liquid is None:
            part = f" {self.part}" if self.part else ""
            return f"{self.herb}{part}, {self.form}"
        return called(self.liquid, self.ethanol_pct_vol, self.glycerin_pct_mass, self.name)
