"""A jar: one maceration, and the extracts that came of it.

Jars, blends and lots are built and changed by `tracker.core.replay.replay` alone; everybody else
reads them. They are not frozen because replay touches one for every line of the book, and have
no slots because the read model's decoder fills a plain instance in less than half the time.
"""

from datetime import date
from typing import Literal

import msgspec

from tracker.core.practice.practice import Way
from tracker.core.practice.shake_plan import ShakePlan
from tracker.core.shelf.contents import (
    DROP_ML,
    Basis,
    BasisOfAll,
    Contents,
    Herb,
    Poured,
    Use,
)
from tracker.core.shelf.end import End, PressedEnd
from tracker.core.shelf.extract import Extract
from tracker.core.shelf.fill import Fill
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.flow import Flow
from tracker.core.shelf.hold import Hold, Look
from tracker.core.shelf.spell import Spell
from tracker.core.values.times import Period, When

Opened = Literal["charged", "found", "split", "joined"]


class Jar(msgspec.Struct, tag="jar", omit_defaults=True):
    """One maceration, from the charge to the last drop of the last bottle.

    Herbs and pours are what its liquid is made of now; after the pressing, what it was then.
    """

    id: str
    code: str
    herb: str
    form: str
    charged: When
    preparation: str
    least: Period | None  # None: a found jar's, where nobody said
    born: str = ""  # when its charge was written down, and by whom: who came first to a code
    opened: Opened = "charged"
    charge_guessed: bool = False
    common: str | None = None
    part: str | None = None
    herbs: tuple[Herb, ...] = ()
    best_by: date | None = None  # a day beyond which nothing drawn off or pressed of it is good
    is_undated: bool = False  # some of what was poured in is of no known date
    marc_g: float | None = None  # herb that lies in it, weighed before it went in
    pours: tuple[Poured, ...] = ()
    liquid_ml: float | None = None  # None: what the pours and the herbs' water add up to
    dried_water_ml: float = 0.0  # water that dried herb in it brought, drawn off or not
    fresh_water_ml: float = 0.0  # the same of fresh herb
    fills: tuple[Fill, ...] = ()
    costs: tuple[Use, ...] = ()
    spells: tuple[Spell, ...] = ()  # how long its liquid stood too weak to keep
    uses: tuple[Use, ...] = ()  # all it ever took from lots or that was paid for
    sources: tuple[Flow, ...] = ()
    drawn_ml: float = 0.0
    lots: tuple[str, ...] = ()  # named at the charge, and not in the book
    named_g: float | None = None  # herb of the one lot named so
    jar_ml: float | None = None
    lid: str | None = None
    barrier: str | None = None
    place: str | None = None
    belongs_to: str | None = None  # a reference, never a name
    longest: Period | None = None
    longest_by: date | None = None  # a last day of its own, from a part it was joined of
    shake: ShakePlan = ()
    look_days: tuple[int, ...] = ()
    ratio_meant: str | None = None
    ratio_basis: Basis = "poured"  # what its ratio is meant by
    basis: BasisOfAll = "poured"  # and what that of its liquid can be counted by
    charged_g: float | None = None  # where it is the finished volume; see `Contents`
    since: When | None = None  # day 0 of a later steep; None in the first
    steeps: int = 1
    way: Way = "maceration"  # how it is made, as charged
    steep_way: Way = "maceration"  # and the steep in hand; the first of a double macerates
    again: bool = False  # whether this steep is of old marc
    of_old_marc: bool = False  # whether some of what was poured on its herb stood on old marc
    herb_added: When | None = None
    past_date_why: str | None = None  # why what stands in it was used past its date
    end: End | None = None  # of the steep in hand
    shakes: int = 0
    last_shaken: When | None = None
    last_touched: When | None = None  # shaken, looked at or topped up
    look: Look | None = None
    hold: Hold | None = None
    extracts: list[Extract] = []
    put_off: dict[str, date] = {}  # which reminder, until which day
    flags: list[Flag] = []

    @property
    def begun(self) -> When:
        """When there was first anything of it: its charge, or what it was split or joined by."""
        if self.opened in ("split", "joined"):
            return self.sources[0].on
        return self.charged

    @property
    def is_macerating(self) -> bool:
        """Whether the herb is still in the jar."""
        return self.end is None

    @property
    def steeped(self) -> When:
        """Day 0 of the steep in hand: the charge, or when it was charged or steeped again."""
        return self.since or self.charged

    @property
    def pressing(self) -> Extract | None:
        """The extract the last steep gave, if it was pressed."""
        return self.extract(self.end.extract) if isinstance(self.end, PressedEnd) else None

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
        return Contents(
            self.herbs,
            self.pours,
            self.liquid_ml,
            self.costs,
            spells=self.spells,
            basis=self.basis,
            charged_g=self.charged_g,
            again=self.again or self.of_old_marc,
        )

    @property
    def on_hold(self) -> bool:
        """Whether it is on hold itself."""
        return self.hold is not None

    @property
    def is_live(self) -> bool:
        """Whether anything of it is still on the shelf, or was given out while on hold."""
        return self.is_macerating or any(
            one.left_ml >= DROP_ML or one.is_given_on_hold(self.hold) for one in self.extracts
        )

    def extract(self, extract_id: str) -> Extract | None:
        """The extract one of its pressings opened, if it did."""
        for one in self.extracts:  # asked of nearly every line of the book
            if one.id == extract_id:
                return one
        return None

    def extract_code(self, extract: Extract) -> str:
        """The code of one of its extracts: its own and a letter."""
        return f"{self.code}{extract.letter}"
