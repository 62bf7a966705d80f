"""The rules in force: the maker's own, and the built-in ones where the maker set none."""

from collections.abc import Iterable, Mapping
from datetime import time
from typing import Literal

import msgspec

from tracker.core.menstruum.preservation import CAUTION_BELOW_PCT_VOL, WARN_BELOW_PCT_VOL
from tracker.core.practice.label_rules import LabelRules
from tracker.core.practice.label_sheets import BUILT_IN, LabelSheet
from tracker.core.practice.shake_plan import ShakePhase, ShakePlan
from tracker.core.values.times import ANY_DAY, DateOrder, Hemisphere, Period

# What the file of the maker's own rules is called, in the book's folder.
PRACTICE_FILE = "practice.toml"

UnitSystem = Literal["us", "british"]
Measures = Literal["metric", "ounces"]
# What a plant is called first: by people, by botanists, or both.
PlantNames = Literal["common", "latin", "both"]
# What `dispense --for` accepts: codes and initials only, or anything.
ReferenceRule = Literal["codes", "any"]
Preparation = Literal[
    "spirit on fresh herb",
    "spirit on dried herb",
    "vinegar",
    "glycerite",
    "honey or oxymel",
    "oil",
    "syrup",
    "water",
    "other",
]

# How herb and menstruum are brought together. A double extract is of spirit first, then of
# water on the same marc, and the two are blended.
Way = Literal["maceration", "percolation", "double", "simmered"]

_THIRTY_DAYS = Period(days=30)
_THREE_DAYS = Period(days=3)
_DAILY_THEN_WEEKLY = (ShakePhase(1, 14), ShakePhase(7, until_ready=True))


_BY_LIQUID: tuple[tuple[str, Preparation], ...] = (
    ("honey", "honey or oxymel"),
    ("syrup", "syrup"),
    ("sugar", "syrup"),
    ("vinegar", "vinegar"),
    ("glycerin", "glycerite"),
    ("oil", "oil"),
)


class Rules(msgspec.Struct, frozen=True):
    """What holds for one kind of preparation unless the charge says otherwise."""

    least: Period
    keeps: Period
    longest: Period | None = None
    shake: ShakePlan = _DAILY_THEN_WEEKLY
    look_days: tuple[int, ...] = ()


# Spirit: the maker's practice this began with. The others: common practice, no source.
BUILT_IN_RULES: Mapping[str, Rules] = {
    "spirit on fresh herb": Rules(Period(3), Period(12), look_days=(1,)),
    "spirit on dried herb": Rules(Period(3), Period(12)),
    "vinegar": Rules(Period(1), Period(12)),
    "glycerite": Rules(Period(1), Period(12)),
    "honey or oxymel": Rules(Period(1), Period(12), shake=(ShakePhase(1, 14),)),
    "oil": Rules(Period(1), Period(12), longest=Period(2), look_days=(2, 7)),
    "syrup": Rules(Period(days=1), Period(6), look_days=(2, 7)),
    # Infusions, decoctions and cold macerations: hours, a day at most.
    "water": Rules(Period(days=1), Period(days=3), longest=Period(days=1), shake=()),
    "other": Rules(Period(1), Period(6), look_days=(2, 7)),
}


class WayRules(msgspec.Struct, frozen=True):
    """What holds for one way of making, whatever is poured; None: as for the preparation.

    Of `keeps` and that of the preparation the shorter one holds.
    """

    least: Period | None = None
    keeps: Period | None = None
    shake: ShakePlan | None = None
    look_days: tuple[int, ...] | None = None


# Common practice, no source: a percolator stands overnight and is not shaken; what was simmered
# is strained the same day, and keeps some days in the cold.
BUILT_IN_WAYS: Mapping[Way, WayRules] = {
    "percolation": WayRules(Period(days=1), shake=(), look_days=()),
    "double": WayRules(),
    "simmered": WayRules(Period(), keeps=Period(days=3), shake=(), look_days=()),
}


class Practice(msgspec.Struct, frozen=True):
    """The rules in force. `origins` says where each rule that is not built in was set.

    `warn_below_pct_vol` and `caution_below_pct_vol` judge whether spirit on herb keeps; their
    basis is in `menstruum.preservation`: makers' usual figures, and published ones differ.
    What is weak, below the first of the two, is good for `weak_keeps` and kept cold: three days
    are common practice, no source.
    `page_address` is put before the code in the QR code of a label.
    """

    rules: Mapping[str, Rules] = msgspec.field(default_factory=lambda: dict(BUILT_IN_RULES))
    ways: Mapping[Way, WayRules] = msgspec.field(default_factory=lambda: dict(BUILT_IN_WAYS))
    digest_at: time = time(8)
    waking_from: time = time(8)
    waking_until: time = time(21)
    expiring_before: Period = _THIRTY_DAYS
    # How long after a look that says to watch; common practice, no source.
    look_again: Period | None = _THREE_DAYS
    count_every: Period | None = None
    channels: tuple[str, ...] = ("desktop",)
    warn_below_pct_vol: float = WARN_BELOW_PCT_VOL
    caution_below_pct_vol: float = CAUTION_BELOW_PCT_VOL
    weak_keeps: Period = _THREE_DAYS
    units: UnitSystem = "us"
    measures: Measures = "metric"  # what is asked for, and what a bare number answers in
    names: PlantNames = "common"
    references: ReferenceRule = "codes"
    zone: str | None = None
    currency: str = ""  # what the maker's money is called; for display only
    hemisphere: Hemisphere = "north"
    dates: DateOrder | None = None  # how 3/4 is read; None: asked each time
    sheets: Mapping[str, LabelSheet] = msgspec.field(default_factory=lambda: dict(BUILT_IN))
    label_sheet: str = "a4"
    label: LabelRules = LabelRules()
    page_address: str | None = None
    page_folder: str | None = None  # where the daemon keeps the page; None: nowhere
    origins: Mapping[str, str] = msgspec.field(default_factory=dict)

    @property
    def volume_unit(self) -> str:
        """The unit in which volumes are asked for."""
        return "ml" if self.measures == "metric" else "fl oz"

    @property
    def weight_unit(self) -> str:
        """The unit in which weights are asked for."""
        return "g" if self.measures == "metric" else "oz"

    def rules_for(self, preparation: str, way: Way) -> Rules:
        """What holds for one preparation made in one way."""
        rules, of_way = self.rules[preparation], self.ways.get(way, WayRules())
        keeps = rules.keeps if of_way.keeps is None else of_way.keeps
        return msgspec.structs.replace(
            rules,
            least=rules.least if of_way.least is None else of_way.least,
            keeps=min(keeps, rules.keeps, key=lambda one: one.after(ANY_DAY)),
            shake=rules.shake if of_way.shake is None else of_way.shake,
            look_days=rules.look_days if of_way.look_days is None else of_way.look_days,
        )


def preparation(liquids: Iterable[str], form: str) -> Preparation:
    """The kind of preparation that pours of these liquids make.

    Any spirit makes it a spirit; then honey, syrup or sugar, vinegar, glycerin and oil in that
    order.
    Water alone makes it a water.
    """
    poured = set(liquids)
    if "ethanol" in poured:
        return "spirit on fresh herb" if form == "fresh" else "spirit on dried herb"
    if poured == {"water"}:
        return "water"
    return next((kind for liquid, kind in _BY_LIQUID if liquid in poured), "other")
