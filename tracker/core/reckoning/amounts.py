"""Everything calculated about a jar and its extracts: amounts, ratio, dates.

Volumes are ml, masses g, strengths % vol at 20 °C.
"""

from datetime import date
from math import isfinite
from typing import Protocol

import msgspec

from tracker.core.herbs.water import WATER_KG_L, HerbWater
from tracker.core.herbs.water import herb_water as water_of
from tracker.core.menstruum import liquids
from tracker.core.shelf.contents import Herb, Poured
from tracker.core.shelf.jar import Jar

# What the marc holds back of the menstruum, ml per gram of dried herb as it is weighed, by
# hand and with a press. Common practice, no source; a warning band, never a refusal.
HELD_BY_HAND = (1.0, 1.9)
HELD_IN_PRESS = (0.7, 1.0)

# The most water a herb can bring, if it was not stated. A bound must never refuse a real
# measurement, so these lie beyond what is met. From memory: fresh fruit and succulent
# leaves reach 95 % water, and air-dry herbs stay under 15 %.
MOST_WATER_PCT = {"fresh": 95.0, "dried": 15.0}


class Band(msgspec.Struct, frozen=True):
    """A range of millilitres; an end that cannot be known is None."""

    low_ml: float | None
    high_ml: float | None


class Made(Protocol):
    """A liquid made of herbs and pours: a jar's, or the contents of an extract or bottle."""

    @property
    def herbs(self) -> tuple[Herb, ...]:
        """Each herb, with the amount this liquid was made of."""

    @property
    def pours(self) -> tuple[Poured, ...]:
        """Each pour, with the amount that is in it."""


def poured_ml(made: Made) -> float:
    """The menstruum in it, as measured before it went in."""
    return sum(pour.volume_ml for pour in made.pours)


def herb_g(made: Made) -> float | None:
    """The herb it was made of; None if any of it was not weighed."""
    if not made.herbs or any(one.g is None for one in made.herbs):
        return None
    return sum(one.g for one in made.herbs if one.g is not None)


def ratio(made: Made) -> float | None:
    """R of 1:R, millilitres poured for each gram of herb; the yield never changes it."""
    grams = herb_g(made)
    return poured_ml(made) / grams if grams else None


def herb_water(made: Made) -> HerbWater | None:
    """Water its herbs brought; None where that cannot be known of one of them."""
    found = [water_of(one) for one in made.herbs]
    known = [one for one in found if one is not None]
    if not found or len(known) < len(found):
        return None
    if len(known) == 1:
        return known[0]
    # A herb of unknown weight that has no water; the others' share is of their own weight.
    ml, grams = sum(one.ml for one in known), sum(one.g or 0.0 for one in made.herbs)
    off_g = sum(
        water.off_pct * (herb.g or 0.0) for herb, water in zip(made.herbs, known, strict=True)
    )
    return HerbWater(
        ml,
        ml * WATER_KG_L / grams * 100 if grams else 0.0,
        off_g / grams if grams else 0.0,
        "; ".join(dict.fromkeys(one.basis for one in known)),
        any(one.is_default for one in known),
    )


def herb_water_ml(made: Made) -> float | None:
    """Water its herbs brought, at 20 °C, whatever it is known by."""
    water = herb_water(made)
    return None if water is None else water.ml


def dry_herb_g(made: Made) -> float | None:
    """The herb without its water, where the water is known."""
    water_ml, grams = herb_water_ml(made), herb_g(made)
    return None if grams is None or water_ml is None else grams - water_ml * WATER_KG_L


def holds_unknown(made: Made) -> bool:
    """Whether nobody knows what some of it was: a jar was found with it."""
    return any(pour.known == "unknown" and pour.liquid == "other" for pour in made.pours)


def of_unknown_strength(made: Made) -> tuple[str, ...]:
    """The names of the pours whose strength nobody knows, each once."""
    pours = (pour for pour in made.pours if pour.ethanol_pct_vol is None)
    return tuple(dict.fromkeys(pour.name or liquids.called_plainly(pour.liquid) for pour in pours))


def simple_strength_pct_vol(made: Made) -> float | None:
    """Ethanol poured over the plain sum of volumes, herb water included where known.

    None where nothing is known to be in it, or nobody knows what some of it was, or how strong.
    """
    if holds_unknown(made) or of_unknown_strength(made):
        return None
    ethanol_ml = sum(pour.volume_ml * (pour.ethanol_pct_vol or 0.0) for pour in made.pours)
    volume_ml = poured_ml(made) + (herb_water_ml(made) or 0.0)
    return ethanol_ml / volume_ml if volume_ml and made.pours else None


def hard_bound_ml(jar: Jar) -> float | None:
    """The most that can still be pressed: all that went in, without contraction.

    What was drawn off took its share of the herb's water along; the herb may have held more,
    so the bound leaves that in.
    """
    if jar.herb_g is None:
        return None
    grams = max(jar.herb_g, jar.marc_g or 0.0)
    most_g = sum(
        (one.g or 0.0) * (MOST_WATER_PCT[one.form] if share is None else share) / 100
        for one in jar.herbs
        for share in (one.water_pct_mass,)
    )
    most_ml = most_g / WATER_KG_L * (grams / jar.herb_g if jar.herb_g else 1.0)
    return max(poured_ml(jar) + most_ml, jar.liquid_ml or 0.0)


def menstruum_ml(jar: Jar) -> float:
    """The liquid in a jar as hold-back is counted: without the water dried herb in it brought.

    Figures for what marc holds are of menstruum poured on herb as it is weighed, and that
    water never leaves the marc's share: 500 ml on 100 g that give 370 ml are 1.3 ml per gram,
    however dry the herb was. The water of fresh herb counts, since pressing gets it out.
    """
    return max(jar.contents.volume_ml - jar.dried_water_ml, 0.0)


def poured_on_ml(jar: Jar) -> float:
    """What was poured on the herb in a jar and not drawn off: its liquid without herb water."""
    return max(jar.contents.volume_ml - jar.dried_water_ml - jar.fresh_water_ml, 0.0)


def held_ml_per_g(jar: Jar) -> float | None:
    """What the marc held back of the menstruum, ml per gram of herb in it, once it is pressed.

    None of what was simmered: nobody knows how much of it went off as steam; and of so little herb
    that nothing can be divided by it.
    """
    if jar.pressing is None or not jar.marc_g or jar.steep_way == "simmered":
        return None
    held = (menstruum_ml(jar) - jar.pressing.pressed_ml) / jar.marc_g
    return held if isfinite(held) else None


def possible_ml(jar: Jar, how: str | None = None) -> Band:
    """What pressing is likely to give by one method, or by any if none is named.

    A band is only known for dried herb that macerates; else there is the hard bound above.
    """
    bound = hard_bound_ml(jar)
    if jar.marc_g is None or jar.form != "dried" or jar.steep_way != "maceration":
        return Band(None, bound)
    least, most = _held_band(how)
    there_ml = menstruum_ml(jar)
    return Band(max(there_ml - jar.marc_g * most, 0.0), max(there_ml - jar.marc_g * least, 0.0))


def _held_band(how: str | None) -> tuple[float, float]:
    if how is None:
        return HELD_IN_PRESS[0], HELD_BY_HAND[1]
    return HELD_IN_PRESS if "press" in how.lower() else HELD_BY_HAND


def earliest_press(jar: Jar) -> date | None:
    """The first day the minimum is over, whichever day in its range the charge was.

    It runs from the charge, or from when herb was last put in; None where that day, or the
    minimum, is not known.
    """
    began = jar.herb_added or jar.steeped
    if jar.least is None or began.precision == "unknown":
        return None
    return jar.least.after(began.latest)


def longest_day(jar: Jar) -> date | None:
    """The last day the herb should stay in, by the early end of the charge."""
    if jar.longest is None or jar.steeped.precision == "unknown":
        return jar.longest_by
    own = jar.longest.after(jar.steeped.earliest)
    return own if jar.longest_by is None else min(own, jar.longest_by)


def is_ready(jar: Jar, today: date) -> bool:
    """Whether the herb is still in and the minimum is over."""
    first = earliest_press(jar)
    return jar.is_macerating and first is not None and today >= first


def days_on_herb(jar: Jar, today: date) -> tuple[int, int] | None:
    """The least and the most days of the steep to the pressing, the discard, or today.

    They differ where either day is inexact; None where they cannot be known, or where the
    book has the end before the start.
    """
    ended = jar.end.on if jar.end is not None else None
    first, last = (ended.earliest, ended.latest) if ended else (today, today)
    if "unknown" in (jar.steeped.precision, ended.precision if ended else ""):
        return None
    most = (last - jar.steeped.earliest).days
    return None if most < 0 else (max((first - jar.steeped.latest).days, 0), most)
