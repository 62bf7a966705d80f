"""Everything worked out about a jar and its liquors: amounts, ratio, dates.

Volumes are ml, masses g, strengths % vol at 20 °C.
"""

from datetime import date
from typing import NamedTuple

import msgspec

from tracker.core.shelf import Jar, Liquor

# Density of water at 20 °C, kg/l: OIML R 22 (1975), coefficient A1.
WATER_KG_L = 0.99820123

# What the marc holds back, ml per gram of dry herb, by hand and with a press. Common
# practice, no source; a warning band, never a refusal.
HELD_BY_HAND = (1.0, 1.9)
HELD_IN_PRESS = (0.7, 1.0)

# The most water a herb can bring, where nobody said. A bound must never refuse a real
# measurement, so these lie beyond what is met. From memory: fresh fruit and succulent
# leaves reach 95 % water, and air-dry herbs stay under 15 %.
MOST_WATER_PCT = {"fresh": 95.0, "dried": 15.0}


class Band(msgspec.Struct, frozen=True):
    """A range of millilitres; an end that cannot be known is None."""

    low_ml: float | None
    high_ml: float | None


class HerbWater(NamedTuple):
    """Water a herb brought, and how that is known.

    Attributes:
        ml: at 20 °C.
        pct_mass: % of the herb's mass.
        off_pct: how far that may be off either way, in points; 0 if it was stated.
        basis: "stated", "published for …" or "default for fresh herb", or that it is dry.
        is_default: whether it is the form's default, for want of anything better.
    """

    ml: float
    pct_mass: float
    off_pct: float
    basis: str
    is_default: bool = False


def poured_ml(jar: Jar) -> float:
    """All menstruum poured on, as measured before it went in."""
    return sum(pour.volume_ml for pour in jar.pours)


def ratio(jar: Jar) -> float | None:
    """R of 1:R, millilitres poured for each gram of herb; the yield never changes it."""
    return poured_ml(jar) / jar.herb_g if jar.herb_g else None


def herb_water(jar: Jar) -> HerbWater | None:
    """Water the herb brought: as stated, else as published for it, else the form's default.

    A dried herb counts as dry unless it is stated. None where the herb was not weighed.
    """
    share = jar.herb_water_pct_mass
    if share is None and jar.form == "dried":
        return HerbWater(0.0, 0.0, 0.0, "dried herb counts as dry")
    if jar.herb_g is None:
        return None
    if share is not None:
        return HerbWater(jar.herb_g * share / 100 / WATER_KG_L, share, 0.0, "stated")
    from tracker.core.herbs.moisture import fresh_moisture

    found = fresh_moisture(jar.herb, jar.part)
    ml = jar.herb_g * found.pct_mass / 100 / WATER_KG_L
    return HerbWater(ml, found.pct_mass, found.off_pct, found.basis, found.is_default)


def herb_water_ml(jar: Jar) -> float | None:
    """Water the herb brought, at 20 °C, whatever it is known by."""
    water = herb_water(jar)
    return None if water is None else water.ml


def dry_herb_g(jar: Jar) -> float | None:
    """The herb without its water, where the water is known."""
    water_ml = herb_water_ml(jar)
    if jar.herb_g is None or water_ml is None:
        return None
    return jar.herb_g - water_ml * WATER_KG_L


def simple_strength_pct_vol(jar: Jar) -> float:
    """Ethanol poured over the plain sum of volumes, herb water included where known."""
    ethanol_ml = sum(pour.volume_ml * pour.ethanol_pct_vol for pour in jar.pours)
    return ethanol_ml / (poured_ml(jar) + (herb_water_ml(jar) or 0.0))


def hard_bound_ml(jar: Jar) -> float | None:
    """The most that can ever be pressed: all that went in, without contraction."""
    if jar.herb_g is None:
        return None
    share = jar.herb_water_pct_mass
    most = MOST_WATER_PCT[jar.form] if share is None else share
    return poured_ml(jar) + jar.herb_g * most / 100 / WATER_KG_L


def held_ml_per_g(jar: Jar) -> float | None:
    """What the marc held back, ml per gram of herb as charged, once the jar is pressed."""
    if not jar.liquors or jar.herb_g is None:
        return None
    held_ml = poured_ml(jar) + (herb_water_ml(jar) or 0.0) - jar.liquors[0].pressed_ml
    return held_ml / jar.herb_g


def possible_ml(jar: Jar, how: str | None = None) -> Band:
    """What pressing is likely to give by one method, or by any where none is named.

    A band is only known for dried herb; a fresh one has its hard bound above.
    """
    bound = hard_bound_ml(jar)
    if jar.herb_g is None or jar.form != "dried":
        return Band(None, bound)
    least, most = _held_band(how)
    poured = poured_ml(jar)
    return Band(max(poured - jar.herb_g * most, 0.0), max(poured - jar.herb_g * least, 0.0))


def _held_band(how: str | None) -> tuple[float, float]:
    if how is None:
        return HELD_IN_PRESS[0], HELD_BY_HAND[1]
    return HELD_IN_PRESS if "press" in how.lower() else HELD_BY_HAND


def earliest_press(jar: Jar) -> date:
    """The first day the minimum is over, whichever day in its range the charge was."""
    return jar.least.after(jar.charged.latest)


def longest_day(jar: Jar) -> date | None:
    """The last day the herb should stay in, by the early end of the charge."""
    if jar.longest is None or jar.charged.precision == "unknown":
        return None
    return jar.longest.after(jar.charged.earliest)


def is_ready(jar: Jar, today: date) -> bool:
    """Whether the herb is still in and the minimum is over."""
    return jar.is_macerating and today >= earliest_press(jar)


def days_on_herb(jar: Jar, today: date) -> tuple[int, int] | None:
    """The least and the most days from the charge to the pressing, the discard, or today.

    They differ where either day is inexact; None where they cannot be known, or where the
    book has the end before the beginning.
    """
    ended = jar.liquors[0].pressed if jar.liquors else jar.discarded
    first, last = (ended.earliest, ended.latest) if ended else (today, today)
    if "unknown" in (jar.charged.precision, ended.precision if ended else ""):
        return None
    most = (last - jar.charged.earliest).days
    return None if most < 0 else (max((first - jar.charged.latest).days, 0), most)


def days_left(liquor: Liquor, today: date) -> int:
    """Days from today through the last good one; negative once it is past."""
    return (liquor.good_through - today).days
