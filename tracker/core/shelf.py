"""The state of the shelf: jars, the liquors pressed from them, and the bottles filled.

These are built and changed by `tracker.core.replay` alone; everybody else reads them. They
are not frozen because replay touches one for every line of the book, and have no slots
because the read model's decoder fills a plain instance in less than half the time.
"""

from collections.abc import Iterator
from datetime import date

import msgspec

from tracker.core.shaking import ShakePlan
from tracker.core.times import Period, When

# Volumes are measured by people: a drop more or less is none.
DROP_ML = 0.05

# Whose family the facts are that belong to no jar: that of the place itself.
HOUSE = "the-house"


class Flag(msgspec.Struct, frozen=True):
    """Something that does not fit, kept and explained: which event, and why.

    One that `asks` wants an answer of the maker's, and stands until there is one.
    """

    event: str
    why: str
    asks: bool = False


class Poured(msgspec.Struct, frozen=True):
    """A pour as it stands in a jar: what, how much, how strong, and when it went in."""

    on: When
    liquid: str
    volume_ml: float
    ethanol_pct_vol: float
    name: str | None = None
    known: str = "measured"


class Look(msgspec.Struct, frozen=True):
    """The last look at a thing."""

    on: When
    verdict: str
    signs: tuple[str, ...] = ()
    note: str | None = None


class Bottle(msgspec.Struct):
    """One numbered bottle of a liquor."""

    number: int
    size_ml: float
    volume_ml: float
    filled: When
    discarded: bool = False


class Liquor(msgspec.Struct):
    """What one pressing gave, and what is left of it in bulk and in bottles."""

    id: str
    letter: str
    pressed: When
    pressed_ml: float
    volume_ml: float
    keeps: Period
    how: str | None = None
    marc: str | None = None
    known: str = "measured"
    filtered_ml: float | None = None
    filter_loss_ml: float = 0.0
    dispensed_ml: float = 0.0
    discarded_ml: float = 0.0
    unaccounted_ml: float = 0.0
    counted: When | None = None
    place: str | None = None
    bottles: list[Bottle] = []
    look: Look | None = None
    discards: dict[str, float] = {}
    put_off: dict[str, date] = {}  # which reminder, until which day

    @property
    def good_through(self) -> date:
        """The last good day, from the early end of the pressing; bottling never restarts it."""
        return self.keeps.after(self.pressed.earliest)

    @property
    def bottled_ml(self) -> float:
        """What is left in its bottles."""
        return sum(bottle.volume_ml for bottle in self.bottles)

    @property
    def left_ml(self) -> float:
        """All that is left: bulk and bottles."""
        return self.volume_ml + self.bottled_ml

    def bottle(self, number: int) -> Bottle | None:
        """The bottle of that number, if it was filled."""
        return next((one for one in self.bottles if one.number == number), None)


class Jar(msgspec.Struct):
    """One maceration, from the charge to the last drop of the last bottle."""

    id: str
    code: str
    herb: str
    form: str
    charged: When
    preparation: str
    least: Period
    born: str = ""  # when its charge was written down, and by whom: who came first to a code
    common: str | None = None
    part: str | None = None
    herb_g: float | None = None
    herb_known: str = "weighed"
    herb_water_pct_mass: float | None = None
    pours: list[Poured] = []
    lots: tuple[str, ...] = ()
    jar_ml: float | None = None
    lid: str | None = None
    barrier: str | None = None
    place: str | None = None
    longest: Period | None = None
    shake: ShakePlan = ()
    look_days: tuple[int, ...] = ()
    ratio_meant: str | None = None
    ratio_basis: str = "poured"
    shakes: int = 0
    last_shaken: When | None = None
    last_touched: When | None = None  # shaken, looked at or topped up
    look: Look | None = None
    liquors: list[Liquor] = []
    discarded: When | None = None
    discards: list[str] = []
    put_off: dict[str, date] = {}  # which reminder, until which day
    flags: list[Flag] = []

    @property
    def is_macerating(self) -> bool:
        """Whether the herb is still in the jar."""
        return not self.liquors and self.discarded is None

    @property
    def on_hold(self) -> bool:
        """Whether the last look said to hold it."""
        return self.look is not None and self.look.verdict == "hold"

    @property
    def is_live(self) -> bool:
        """Whether anything of it is still on the shelf."""
        return self.is_macerating or any(one.left_ml >= DROP_ML for one in self.liquors)

    def liquor(self, liquor_id: str) -> Liquor | None:
        """The liquor one of its pressings opened, if it did."""
        return next((one for one in self.liquors if one.id == liquor_id), None)

    def liquor_code(self, liquor: Liquor) -> str:
        """The code of one of its liquors: its own and a letter."""
        return f"{self.code}{liquor.letter}"


class Thing(msgspec.Struct, frozen=True):
    """What a code names: a jar, or one of its liquors, or one of that liquor's bottles."""

    code: str
    jar: Jar
    liquor: Liquor | None = None
    bottle: Bottle | None = None

    @property
    def kind(self) -> str:
        """`jar`, `liquor` or `bottle`."""
        return "bottle" if self.bottle else "liquor" if self.liquor else "jar"


def things(jar: Jar) -> Iterator[Thing]:
    """The jar, then each liquor followed by its bottles."""
    yield Thing(jar.code, jar)
    for liquor in jar.liquors:
        code = jar.liquor_code(liquor)
        yield Thing(code, jar, liquor)
        for bottle in liquor.bottles:
            yield Thing(f"{code}/{bottle.number}", jar, liquor, bottle)


class Shelf(msgspec.Struct, frozen=True):
    """Every jar by the id of its charge, and what fits nowhere, each with a reason."""

    jars: dict[str, Jar]
    unplaced: tuple[Flag, ...] = ()
