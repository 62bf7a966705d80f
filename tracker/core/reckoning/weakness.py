"""Whether a liquid is weak, judged after every change of what it is made of."""

from collections.abc import Iterable

from msgspec.structs import replace

from tracker.core.herbs.water import herb_water
from tracker.core.menstruum.glycerin import pure_ml
from tracker.core.menstruum.preservation import NOTHING_BELOW, other_means
from tracker.core.reckoning import amounts
from tracker.core.shelf.contents import Contents, Herb
from tracker.core.shelf.spell import STRONG_PCT_VOL, Spell, spells_of
from tracker.core.values.times import When

# What is kept well enough, by whatever means, counts as a strength no practice calls weak.
KEPT_PCT_VOL = 100.0


def remade(whole: Contents, spells: Iterable[Spell], on: When) -> Contents:
    """A liquid as it was made on a day, with the spells of what went into it."""
    before = tuple(spells)
    pct_vol = keeping_pct_vol(whole)
    if not before and pct_vol is not None and pct_vol >= STRONG_PCT_VOL:
        return replace(whole, spells=()) if whole.spells else whole
    return replace(whole, spells=spells_of(before, pct_vol, on))


def keeping_pct_vol(made: amounts.Made) -> float | None:
    """The strength a liquid is judged by; 100 where it keeps by other means or is strong.

    None where it is not known whether it keeps: the make of some of it, the water of a herb, or
    whether there is enough acid, sugar or glycerin in it.
    """
    poured_ml = ethanol_ml = 0.0
    liquids = set()
    is_known = True
    for pour in made.pours:
        poured_ml += pour.volume_ml
        is_known = is_known and pour.ethanol_pct_vol is not None
        ethanol_ml += pour.volume_ml * (pour.ethanol_pct_vol or 0.0) / 100
        liquids.add(pour.liquid)
    if is_known and liquids <= {"ethanol", "water"}:
        most_ml = _most_water_ml(made.herbs)
        if most_ml is not None and ethanol_ml * 100 >= STRONG_PCT_VOL * (poured_ml + most_ml):
            return KEPT_PCT_VOL  # however wet the herb is
    return _reckoned(made, liquids) if poured_ml else None


def _most_water_ml(herbs: Iterable[Herb]) -> float | None:
    """The most water the herbs can bring; None where a fresh one was not weighed."""
    most_ml = 0.0
    for one in herbs:
        if one.g is None and one.form == "fresh":
            return None
        most_ml += (one.g or 0.0) * amounts.MOST_WATER_PCT[one.form] / 100
    return most_ml


def _reckoned(made: amounts.Made, liquids: set[str]) -> float | None:
    if liquids == {"water"}:
        return 0.0  # however much water the herb brings
    share = other_means_share(made)
    if "ethanol" not in liquids and "other" not in liquids:
        if share is None or NOTHING_BELOW <= share < 1:
            return None
        return KEPT_PCT_VOL if share >= 1 else 0.0
    if share is not None and share >= 1 and "other" not in liquids:
        return KEPT_PCT_VOL
    # The model of mixing loads slowly, and nearly every liquid is strong without it.
    from tracker.core.reckoning.strength import strength_pct_vol

    pct_vol = strength_pct_vol(made)
    return None if "other" in liquids and not pct_vol else pct_vol


def other_means_share(made: amounts.Made) -> float | None:
    """What it has of other means of keeping than ethanol; None where a herb's water is unknown."""
    volumes_ml: dict[str, float] = {}
    for pour in made.pours:
        own_ml = pour.volume_ml
        if pour.liquid == "glycerin":
            own_ml = pure_ml(pour.volume_ml, pour.glycerin_pct_mass)
            volumes_ml["water"] = volumes_ml.get("water", 0.0) + pour.volume_ml - own_ml
        volumes_ml[pour.liquid] = volumes_ml.get(pour.liquid, 0.0) + own_ml
    for one in made.herbs:
        water = herb_water(one)
        if water is None:
            return None
        volumes_ml["water"] = volumes_ml.get("water", 0.0) + water.ml
    return other_means(volumes_ml)
