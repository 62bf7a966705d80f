"""Will it keep: what its strength, acid, sugar, glycerin or dryness says of moulds and yeasts."""

from collections.abc import Mapping
from typing import Final, Literal

import msgspec

from tracker.core.menstruum import liquids

Level = Literal["fine", "caution", "warning", "unknown"]

# Where published figures differ, the makers' two usual thresholds are taken, both from
# memory: pharmacy texts count 15 to 20 % vol as preserving an acid or neutral preparation;
# herbals ask for 25 % vol, and more for fresh herb, whose water weakens the spirit.
WARN_BELOW_PCT_VOL: Final = 20.0
CAUTION_BELOW_PCT_VOL: Final = 25.0

# Other means, each the least that keeps by itself. Vinegar diluted with water by half, and
# glycerin clearly below half of the volume, are not counted on: common practice, from memory.
LEAST_VINEGAR_PCT_VOL: Final = 60.0
LEAST_GLYCERIN_PCT_VOL: Final = 45.0
# Sugar by mass: a syrup keeps from 65 % (pharmacopoeial syrup has 66.7 %, from memory); honey
# is 82 % sugar and ferments with much more than a fifth of water (both from memory).
LEAST_SYRUP_SUGAR_PCT_MASS: Final = 65.0
LEAST_HONEY_SUGAR_PCT_MASS: Final = 75.0
SYRUP_SUGAR_SHARE: Final = 0.667
HONEY_SUGAR_SHARE: Final = 0.82
# Oil keeps as long as it is dry: more water in it than this, % of the volume, is another thing.
# What a dried herb brings stays below it. Common practice, no source.
MOST_WATER_IN_OIL_PCT_VOL: Final = 5.0
# Below this share of what keeps, a little vinegar or sugar is counted as water; common
# practice, no source.
NOTHING_BELOW: Final = 0.4


class Preservation(msgspec.Struct, frozen=True):
    """How a strength is judged, and why, in a sentence for the maker."""

    level: Level
    reason: str


def preservation(
    ethanol_pct_vol: float | None,
    warn_below: float = WARN_BELOW_PCT_VOL,
    caution_below: float = CAUTION_BELOW_PCT_VOL,
    glycerin_pct_vol: float = 0.0,
) -> Preservation:
    """Whether ethanol of this strength is likely to keep an extract from spoiling.

    Args:
        ethanol_pct_vol: strength of the whole, herb water included, % vol; None if unknown.
        warn_below: below this, % vol, it is likely to spoil.
        caution_below: below this, % vol, it may; not lower than `warn_below`.
        glycerin_pct_vol: glycerin in it, % vol. It changes no level; only the reason.

    Returns:
        "fine", "caution", "warning", or "unknown" without a strength. A strength of exactly
        a threshold is not below it. Ethanol is all that is judged: for a menstruum that is
        kept by acid, sugar or dryness it says nothing.

    Raises:
        ValueError: thresholds out of order.

    Source:
        Makers' thresholds, from memory; published figures differ between 15 and 25 % vol.
    """
    if warn_below > caution_below:
        raise ValueError(f"warn_below {warn_below} is above caution_below {caution_below}")
    if ethanol_pct_vol is None:
        return Preservation("unknown", "the strength is not known")
    helped = ""
    if glycerin_pct_vol > 0.0:
        helped = f"; what {glycerin_pct_vol:.0f} % glycerin adds to its keeping is uncertain"
    at = f"{ethanol_pct_vol:.1f} % vol"
    if ethanol_pct_vol < warn_below:
        return Preservation("warning", f"{at} is below {warn_below:g} %: likely to spoil{helped}")
    if ethanol_pct_vol < caution_below:
        return Preservation(
            "caution",
            f"{at} is below {caution_below:g} %: it may not keep, published figures differ{helped}",
        )
    return Preservation("fine", f"{at} is not below {caution_below:g} %")


def other_means(volumes_ml: Mapping[str, float]) -> float:
    """How much there is of what keeps a liquid without ethanol, over what has to be there.

    Args:
        volumes_ml: each liquid that is in it, ml; the herb's water is part of "water".

    Returns:
        1 or more: it keeps by acid, sugar, glycerin or dryness. Less: it is not known whether
        it does; below `NOTHING_BELOW` it is to be taken for water. Acid, sugar and glycerin
        help each other; oil and what is watery in it do not.

    Source:
        The limits above, each with its own.
    """
    whole_ml = sum(volumes_ml.values())
    if not whole_ml:
        return 0.0
    oil_ml = volumes_ml.get("oil", 0.0)
    if oil_ml:
        return 1.0 if (whole_ml - oil_ml) / whole_ml * 100 <= MOST_WATER_IN_OIL_PCT_VOL else 0.5
    masses_g = {liquid: ml * _kg_m3(liquid) / 1000 for liquid, ml in volumes_ml.items()}
    whole_g = sum(masses_g.values())
    pct_mass = {liquid: g / whole_g * 100 for liquid, g in masses_g.items()}
    return (
        volumes_ml.get("vinegar", 0.0) / whole_ml * 100 / LEAST_VINEGAR_PCT_VOL
        + volumes_ml.get("glycerin", 0.0) / whole_ml * 100 / LEAST_GLYCERIN_PCT_VOL
        + pct_mass.get("syrup", 0.0) * SYRUP_SUGAR_SHARE / LEAST_SYRUP_SUGAR_PCT_MASS
        + pct_mass.get("sugar", 0.0) / LEAST_SYRUP_SUGAR_PCT_MASS
        + pct_mass.get("honey", 0.0) * HONEY_SUGAR_SHARE / LEAST_HONEY_SUGAR_PCT_MASS
    )


def _kg_m3(liquid: str) -> float:
    # Beside honey and syrup the others are near enough to water, and glycerin's sugar is none.
    return liquids.VOLUMES_ADDED_KG_M3.get(liquid, 1000.0)
