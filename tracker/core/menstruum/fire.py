"""Fire: at what temperature a spirit gives off enough vapour to catch from a flame."""

from bisect import bisect_right
from typing import Final

# Closed-cup flash point of ethanol-water, °C, by strength, as widely printed in safety
# tables. They disagree whether the strength is by mass or by volume.
_FLASH_POINT_C: Final = (
    (5.0, 62.0),
    (10.0, 49.0),
    (20.0, 36.0),
    (30.0, 29.0),
    (40.0, 26.0),
    (50.0, 24.0),
    (60.0, 22.0),
    (70.0, 21.0),
    (80.0, 20.0),
    (90.0, 17.0),
    (96.0, 17.0),
    (100.0, 13.0),
)
_PCT: Final = tuple(pct for pct, _ in _FLASH_POINT_C)

UNCERTAINTY_C: Final = 5.0


def flash_point_c(ethanol_pct_vol: float) -> float | None:
    """Flash point of an ethanol-water mixture, read to be on the safe side.

    Strength by volume is the higher of the two numbers, so reading the table with it gives
    the lower temperature whichever of the two the table means.

    Args:
        ethanol_pct_vol: strength, 0 to 100 % vol.

    Returns:
        Temperature in °C, uncertain by 5 either way; between printed rows by a straight
        line. None below 5 % vol, where the table ends.

    Raises:
        ValueError: outside 0 to 100.

    Source:
        Published safety tables, which disagree with each other by a few degrees.

    Good for:
        A caution only. It never says that a spirit is safe near a flame or a hot plate.
    """
    if not 0.0 <= ethanol_pct_vol <= 100.0:
        raise ValueError(f"ethanol_pct_vol must be within 0 to 100, got {ethanol_pct_vol}")
    if ethanol_pct_vol < _PCT[0]:
        return None
    above = min(bisect_right(_PCT, ethanol_pct_vol), len(_PCT) - 1)
    (low_pct, low_c), (high_pct, high_c) = _FLASH_POINT_C[above - 1], _FLASH_POINT_C[above]
    return low_c + (ethanol_pct_vol - low_pct) / (high_pct - low_pct) * (high_c - low_c)


def may_catch_fire(ethanol_pct_vol: float, celsius: float) -> bool:
    """Whether vapour may catch at that temperature, with the uncertainty taken off."""
    flash_c = flash_point_c(ethanol_pct_vol)
    return flash_c is not None and celsius >= flash_c - UNCERTAINTY_C
