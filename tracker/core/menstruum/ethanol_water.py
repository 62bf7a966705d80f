"""Ethanol and water: density, and strength by mass and by volume, -20 to 40 °C."""

from functools import lru_cache
from typing import Final

LOWEST_C: Final = -20.0
HIGHEST_C: Final = 40.0
REFERENCE_C: Final = 20.0  # alcoholic strength by volume: OIML R 22; the European label rule

# OIML R 22 (1975), International Alcoholometric Tables, general formula; the same formula
# stands in the annex of Council Directive 76/766/EEC. Made by H. Wagenbreth and W. Blanke,
# PTB-Mitteilungen 81 (1971) 412-415. kg/m3; temperature less 20 °C; mass fraction 0 to 1.
_A: Final = (
    998.20123,
    -192.9769495,
    389.1238958,
    -1668.103923,
    13522.15441,
    -88292.78388,
    306287.4042,
    -613838.1234,
    747017.2998,
    -547846.1354,
    223446.0334,
    -39032.85426,
)
_B: Final = (
    -0.20618513,
    -0.0052682542,
    3.6130013e-05,
    -3.8957702e-07,
    7.169354e-09,
    -9.9739231e-11,
)
_C: Final = (
    (
        0.1693443461530087,
        -10.46914743455169,
        71.96353469546523,
        -704.7478054272792,
        3924.090430035045,
        -12101.64659068747,
        22486.46550400788,
        -26055.62982188164,
        18523.73922069467,
        -7420.201433430137,
        1285.617841998974,
    ),
    (
        -0.0119301300505701,
        0.2517399633803461,
        -2.170575700536993,
        13.53034988843029,
        -50.29988758547014,
        109.635566657757,
        -142.2753946421155,
        108.043594285623,
        -44.14153236817392,
        7.442971530188783,
    ),
    (
        -0.0006802995733503803,
        0.01876837790289664,
        -0.2002561813734156,
        1.02299296671922,
        -2.895696483903638,
        4.810060584300675,
        -4.672147440794683,
        2.458043105903461,
        -0.5411227621436812,
    ),
    (
        4.075376675622027e-06,
        -8.76305857347111e-06,
        6.515031360099368e-06,
        -1.51578483698721e-06,
    ),
    (
        -2.788074354782409e-08,
        1.345612883493354e-08,
    ),
)


def density_kg_m3(ethanol_ww: float, celsius: float = REFERENCE_C) -> float:
    """Density of an ethanol-water mixture.

    Args:
        ethanol_ww: ethanol as a mass fraction, 0 to 1.
        celsius: temperature of the mixture, -20 to 40 °C.

    Returns:
        Density in kg/m3 (true mass, not a balance reading in air).

    Raises:
        ValueError: outside those ranges; the formula is never extrapolated.

    Source:
        OIML R 22, International Alcoholometric Tables (1975), general formula.

    Good for:
        Liquid mixtures; below 0 °C weak ones freeze. The formula's temperatures are on the
        scale of 1968, which is 0.005 °C off today's at 20 °C: far below anything that counts.
    """
    _check_share("ethanol_ww", ethanol_ww)
    value = 0.0
    for coefficient in reversed(_powers_of_mass_fraction(celsius)):
        value = value * ethanol_ww + coefficient
    return value


@lru_cache(maxsize=1024)  # few strengths are ever poured, and each again and again
def mass_fraction(ethanol_vv: float, reference_c: float = REFERENCE_C) -> float:
    """Strength by mass of a mixture whose strength by volume is known.

    Args:
        ethanol_vv: ethanol as a volume fraction at `reference_c`, 0 to 1.
        reference_c: temperature at which the volume is meant, -20 to 40 °C.

    Returns:
        Mass fraction, 0 to 1, to better than 1e-12.

    Raises:
        ValueError: outside those ranges.

    Source:
        OIML R 22 (1975), definition of alcoholic strength by volume, and the general formula
        inverted by Newton's method.
    """
    _check_share("ethanol_vv", ethanol_vv)
    powers = _powers_of_mass_fraction(reference_c)
    ethanol_kg_m3 = ethanol_vv * density_kg_m3(1.0, reference_c)
    ethanol_ww = ethanol_vv
    for _ in range(50):  # five or six suffice: mass times density rises almost straight
        density = slope = 0.0
        for coefficient in reversed(powers):
            slope = slope * ethanol_ww + density
            density = density * ethanol_ww + coefficient
        step = (ethanol_ww * density - ethanol_kg_m3) / (density + ethanol_ww * slope)
        ethanol_ww = min(1.0, max(0.0, ethanol_ww - step))
        if abs(step) < 1e-15:
            break
    return ethanol_ww


def volume_fraction(ethanol_ww: float, reference_c: float = REFERENCE_C) -> float:
    """Strength by volume of a mixture whose strength by mass is known.

    Args:
        ethanol_ww: ethanol as a mass fraction, 0 to 1.
        reference_c: temperature at which the volume is meant, -20 to 40 °C.

    Returns:
        Volume fraction, 0 to 1.

    Raises:
        ValueError: outside those ranges.

    Source:
        OIML R 22 (1975), definition of alcoholic strength by volume, and the general formula.
    """
    of_pure = density_kg_m3(ethanol_ww, reference_c) / density_kg_m3(1.0, reference_c)
    return min(1.0, ethanol_ww * of_pure)


@lru_cache(maxsize=64)
def _powers_of_mass_fraction(celsius: float) -> tuple[float, ...]:
    """Coefficients of the density as a polynomial in the mass fraction, at one temperature."""
    if not LOWEST_C <= celsius <= HIGHEST_C:
        raise ValueError(f"celsius must be within -20 to 40, got {celsius}")
    above_20 = celsius - 20.0
    powers = list(_A)
    powers[0] += sum(b * above_20**k for k, b in enumerate(_B, start=1))
    for i, row in enumerate(_C, start=1):
        for k, c in enumerate(row, start=1):
            powers[k] += c * above_20**i
    return tuple(powers)


def _check_share(name: str, value: float) -> None:
    if not 0.0 <= value <= 1.0:
        raise ValueError(f"{name} must be within 0 to 1, got {value}")
