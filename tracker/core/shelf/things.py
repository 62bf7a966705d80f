"""The state of the shelf: jars, the extracts pressed from them, and the bottles filled.

These are built and changed by `tracker.core.replay.replay` alone; everybody else reads them. They
are not frozen because replay touches one for every line of the book, and have no slots
because the read model's decoder fills a plain instance in less than half the time.
"""

from collections.abc import Iterator
from datetime import date

import msgspec

from tracker.core.practice.shake_plan import ShakePlan
from tracker.core.shelf.contents import Contents, Herb, Poured, Use
from tracker.core.values.times import Period, When

# Volumes are measured by people: a drop more or less is none.
DROP_ML = 0.05


class Flag(msgspec.Struct, frozen=True):
    """Something that does not fit, kept and explained: which event, and why.

    One that `asks` wants an answer of the maker's, and stands until there is one.
    """

    event: str
    why: str
    asks: bool = False


class Look(msgspec.Struct, frozen=True):
    """The last look at a thing."""

    on: When
    verdict: str
    signs: tuple[str, ...] = ()
    note: str | None = None


class Hold(msgspec.Struct, frozen=True):
    """Why nothing of a thing is given out, since when, and which event says so."""

    event: str
    on: When
    why: str


class Flow(msgspec.Struct, frozen=True):
    """Where something of a thing came from: a lot, a jar, an extract or a bottle."""

    event: str
    how: str  # charged, topped up, split, joined, recharged, blended, refilled, dried …
    on: When
    jar: str  # or the lot
    extract: str | None = None
    bottle: int | None = None
    ml: float | None = None
    g: float | None = None


class Given(msgspec.Struct, frozen=True):
    """So much given out, when and under which reference."""

    event: str
    on: When
    ml: float
    reference: str | None = None
    bottle: int | None = None


class Bottle(msgspec.Struct):
    """One numbered bottle of an extract.

    What is in it is what its extract is made of, unless that changed since or it was refilled.
    """

    number: int
    size_ml: float
    volume_ml: float
    filled: When
    discarded: bool = False
    paid: str | None = None
    made: Contents | None = None
    best_by: date | None = None
    sources: tuple[Flow, ...] = ()


class Extract(msgspec.Struct):
    """What one pressing gave, and what is left of it in bulk and in bottles.

    A draw-off and a blend open one too. `made` says what it is made of.
    """

    id: str
    letter: str
    pressed: When
    pressed_ml: float
    volume_ml: float
    keeps: Period
    made: Contents
    opened: str = "pressed"
    how: str | None = None
    marc: str | None = None
    known: str = "measured"
    best_by: date | None = None
    filtered_ml: float | None = None
    filter_loss_ml: float = 0.0
    lees_ml: float = 0.0
    added_ml: float = 0.0
    passed_on_ml: float = 0.0
    dispensed_ml: float = 0.0
    discarded_ml: float = 0.0
    unaccounted_ml: float = 0.0
    counted: When | None = None
    place: str | None = None
    bottles: list[Bottle] = []
    look: Look | None = None
    hold: Hold | None = None
    sources: tuple[Flow, ...] = ()
    given: list[Given] = []
    discards: dict[str, float] = {}
    discarded_made: dict[str, Contents] = {}  # by discard, where the bulk changed since
    put_off: dict[str, date] = {}  # which reminder, until which day

    @property
    def good_through(self) -> date:
        """The last good day, from the early end of the pressing; bottling never restarts it.

        What was put into it may be good for less long: the earliest day of any part counts.
        """
        own = self.keeps.after(self.pressed.earliest)
        return own if self.best_by is None else min(own, self.best_by)

    @property
    def on_hold(self) -> bool:
        """Whether it is on hold, by word or by the last look."""
        return self.hold is not None or (self.look is not None and self.look.verdict == "hold")

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
    """One maceration, from the charge to the last drop of the last bottle.

    Herbs and pours are what its liquid is made of now; after the pressing, what it was then.
    A blend is a jar without a maceration: it has one extract, known by the same code.
    """

    id: str
    code: str
    herb: str
    form: str
    charged: When
    preparation: str
    least: Period
    born: str = ""  # when its charge was written down, and by whom: who came first to a code
    opened: str = "charged"
    common: str | None = None
    part: str | None = None
    herbs: tuple[Herb, ...] = ()
    marc_g: float | None = None  # herb that lies in it, weighed before it went in
    pours: tuple[Poured, ...] = ()
    liquid_ml: float | None = None  # None: what the pours and the herbs' water add up to
    costs: tuple[Use, ...] = ()
    uses: tuple[Use, ...] = ()  # all it ever took from lots or that was paid for
    sources: tuple[Flow, ...] = ()
    drawn_ml: float = 0.0
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
    since: When | None = None  # day 0 of a later steep; None in the first
    steeps: int = 1
    again: bool = False  # whether this steep is of old marc
    herb_added: When | None = None
    ended: str | None = None  # what ended the steep: an extract's id, "split" or "joined"
    ended_on: When | None = None
    shakes: int = 0
    last_shaken: When | None = None
    last_touched: When | None = None  # shaken, looked at or topped up
    look: Look | None = None
    hold: Hold | None = None
    extracts: list[Extract] = []
    discarded: When | None = None
    discards: list[str] = []
    put_off: dict[str, date] = {}  # which reminder, until which day
    flags: list[Flag] = []

    @property
    def is_macerating(self) -> bool:
        """Whether the herb is still in the jar."""
        return self.ended is None and self.discarded is None

    @property
    def steeped(self) -> When:
        """Day 0 of the steep in hand: the charge, or when it was charged or steeped again."""
        return self.since or self.charged

    @property
    def pressing(self) -> Extract | None:
        """The extract the last steep gave, if it was pressed."""
        return None if self.ended is None else self.extract(self.ended)

    @property
    def herb_g(self) -> float | None:
        """The herb its liquid stands for; None where any of it was not weighed."""
        if not self.herbs or any(one.g is None for one in self.herbs):
            return None
        return sum(one.g for one in self.herbs if one.g is not None)

    @property
    def herb_known(self) -> str:
        """How the weight of the herb is known."""
        return self.herbs[0].known if self.herbs else "unknown"

    @property
    def contents(self) -> Contents:
        """What its liquid is made of."""
        return Contents(self.herbs, self.pours, self.liquid_ml, self.costs)

    @property
    def on_hold(self) -> bool:
        """Whether it is on hold, by word or by the last look."""
        return self.hold is not None or (self.look is not None and self.look.verdict == "hold")

    @property
    def is_live(self) -> bool:
        """Whether anything of it is still on the shelf."""
        return self.is_macerating or any(one.left_ml >= DROP_ML for one in self.extracts)

    def extract(self, extract_id: str) -> Extract | None:
        """The extract one of its pressings opened, if it did."""
        return next((one for one in self.extracts if one.id == extract_id), None)

    def extract_code(self, extract: Extract) -> str:
        """The code of one of its extracts: its own and a letter."""
        return f"{self.code}{extract.letter}"


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
    ethanol_pct_vol: float = 0.0
    name: str | None = None
    where: str | None = None
    their_lot: str | None = None
    paid: str | None = None
    known: str = "weighed"
    parent: Flow | None = None
    dried_g: float = 0.0  # of fresh herb that became lots of its own
    hold: Hold | None = None
    recalled: Hold | None = None
    discards: dict[str, float] = {}
    flags: list[Flag] = []

    @property
    def unit(self) -> str:
        """What its amount is counted in: `g` or `ml`."""
        return "g" if self.liquid is None else "ml"

    @property
    def on_hold(self) -> bool:
        """Whether it is on hold or was called back."""
        return self.hold is not None or self.recalled is not None

    @property
    def what(self) -> str:
        """What it is, in a few words."""
        if self.liquid is None:
            part = f" {self.part}" if self.part else ""
            return f"{self.herb}{part}, {self.form}"
        strong = f"{self.ethanol_pct_vol:g} % vol " if self.liquid == "ethanol" else ""
        return strong + (self.name or ("spirit" if strong else self.liquid))


class Thing(msgspec.Struct, frozen=True):
    """What a code names: a jar, or one of its extracts, or one of that extract's bottles."""

    code: str
    jar: Jar
    extract: Extract | None = None
    bottle: Bottle | None = None

    @property
    def made(self) -> Contents:
        """What the liquid in it is made of."""
        if self.extract is None:
            return self.jar.contents
        own = self.bottle.made if self.bottle is not None else None
        return own or self.extract.made

    @property
    def good_through(self) -> date | None:
        """The last good day of an extract or bottle; None for a jar."""
        if self.extract is None:
            return None
        own = self.bottle.best_by if self.bottle is not None else None
        return own or self.extract.good_through

    @property
    def kind(self) -> str:
        """`jar`, `extract` or `bottle`."""
        return "bottle" if self.bottle else "extract" if self.extract else "jar"


def a_kind(thing: Thing | Lot) -> str:
    """What a thing is, with its article: `a jar`, `an extract`, `a bottle`, `a lot`."""
    kind = "lot" if isinstance(thing, Lot) else thing.kind
    return f"{'an' if kind == 'extract' else 'a'} {kind}"


def things(jar: Jar) -> Iterator[Thing]:
    """The jar, then each extract followed by its bottles; a blend is its extract."""
    if jar.opened != "blended":
        yield Thing(jar.code, jar)
    for extract in jar.extracts:
        code = jar.extract_code(extract)
        yield Thing(code, jar, extract)
        for bottle in extract.bottles:
            yield Thing(f"{code}/{bottle.number}", jar, extract, bottle)


class Shelf(msgspec.Struct, frozen=True):
    """Every jar by the id of its charge, every lot, and what fits nowhere, with a reason."""

    jars: dict[str, Jar]
    lots: dict[str, Lot]
    unplaced: tuple[Flag, ...] = ()
