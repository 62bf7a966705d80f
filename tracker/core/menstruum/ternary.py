"""Ethanol, water and glycerin together: what volume their masses take up.

No published table covers all three, so the two known binaries are joined: ethanol contracts
with the water, and glycerin contracts with the water, each as if the other were not there;
ethanol and glycerin are taken not to contract with each other. With one liquid missing this
is exactly the table of the other two, and as it goes by mass the order of pouring cannot
matter. How far it may be off is said by `uncertainty_ml`.
"""

from typing import Final

from tracker.core.menstruum import ethanol_water, glycerin

# Greatest contraction of ethanol and glycerin, as a share of their volumes, that the missing
# third binary is allowed to have. A guess on the safe side, not a published figure.
_ETHANOL_GLYCERIN_SHARE: Final = 0.015


def volume_ml(
    ethanol_g: float, water_g: float, glycerin_g: float, reference_c: float = 20.0
) -> float:
    """Volume of a mixture of pure ethanol, water and glycerin.

    Args:
        ethanol_g: mass of pure ethanol, g, 0 or more.
        water_g: mass of water, g, 0 or more.
        glycerin_g: mass of anhydrous glycerin, g, 0 or more.
        reference_c: temperature, °C; 15 to 25 if there is glycerin, else -20 to 40.

    Returns:
        Volume in ml at that temperature.

    Raises:
        ValueError: temperature out of range.

    Source:
        Binaries: OIML R 22 (1975); Lange's Handbook of Chemistry, table 5.13.

    Good for:
        The binary tables' own accuracy without glycerin; with it see `uncertainty_ml`.
    """
    volume_ml = _spirit_ml(ethanol_g, water_g, reference_c)
    if glycerin_g > 0.0:
        volume_ml += 1000.0 * glycerin_g / glycerin.pure_density_kg_m3(reference_c)
        volume_ml -= glycerin.contraction_ml(glycerin_g, water_g)
    return volume_ml


def uncertainty_ml(
    ethanol_g: float, water_g: float, glycerin_g: float, reference_c: float = 20.0
) -> float:
    """How far `volume_ml` may be off, since no table covers all three.

    It is the distance to Kohler's rule, the usual other model (each pair contracts less in
    proportion to what of the mixture is the third liquid), plus what ethanol and glycerin
    might contract between themselves.

    Args:
        ethanol_g: mass of pure ethanol, g, 0 or more.
        water_g: mass of water, g, 0 or more.
        glycerin_g: mass of anhydrous glycerin, g, 0 or more.
        reference_c: temperature, °C.

    Returns:
        Millilitres either way; 0 unless ethanol and glycerin are both there.

    Source:
        F. Kohler, Monatshefte für Chemie 91 (1960) 738 (reference from memory).
    """
    if ethanol_g <= 0.0 or glycerin_g <= 0.0:
        return 0.0
    all_g = ethanol_g + water_g + glycerin_g
    ethanol_ml = 1000.0 * ethanol_g / ethanol_water.density_kg_m3(1.0, reference_c)
    water_ml = 1000.0 * water_g / ethanol_water.density_kg_m3(0.0, reference_c)
    ethanol_water_ml = ethanol_ml + water_ml - _spirit_ml(ethanol_g, water_g, reference_c)
    glycerin_water_ml = glycerin.contraction_ml(glycerin_g, water_g)
    between_models_ml = (ethanol_water_ml * glycerin_g + glycerin_water_ml * ethanol_g) / all_g
    glycerin_ml = 1000.0 * glycerin_g / glycerin.pure_density_kg_m3(reference_c)
    pair_ml = 4.0 * ethanol_ml * glycerin_ml / (ethanol_ml + glycerin_ml)
    third_pair_ml = _ETHANOL_GLYCERIN_SHARE * pair_ml * (ethanol_g + glycerin_g) / all_g
    return between_models_ml + third_pair_ml


def _spirit_ml(ethanol_g: float, water_g: float, reference_c: float) -> float:
    spirit_g = ethanol_g + water_g
    if spirit_g <= 0.0:
        return 0.0
    ethanol_ww = ethanol_g / spirit_g
    return 1000.0 * spirit_g / ethanol_water.density_kg_m3(ethanol_ww, reference_c)
