"""Quantiles of Student's t distribution, for whole degrees of freedom."""

from functools import lru_cache
from math import cos, pi, sin, sqrt, tan


@lru_cache(maxsize=256)
def quantile(share: float, degrees: int) -> float:
    """The value that so great a share of the distribution lies below.

    Args:
        share: 0.5 to below 1.
        degrees: degrees of freedom, 1 or more.

    Raises:
        ValueError: outside these.

    Source:
        Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.3 and 26.7.4 (from
        memory): exact for whole degrees. The value is found by halving the angle.
    """
    if not 0.5 <= share < 1 or degrees < 1:
        raise ValueError(f"share must be within 0.5 to 1 and degrees 1 or more: {share}, {degrees}")
    low, high = 0.0, pi / 2
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if _within(middle, degrees) < 2 * share - 1 else (low, middle)
    return sqrt(degrees) * tan(low)


def _within(angle: float, degrees: int) -> float:
    """The share within so much of the middle, either way: the root of the degrees × tan(angle)."""
    term = total = 1.0 if degrees % 2 == 0 else cos(angle)
    for one in range(2 if degrees % 2 == 0 else 3, degrees, 2):
        term *= cos(angle) ** 2 * (one - 1) / one
        total += term
    if degrees % 2 == 0:
        return sin(angle) * total
    return (angle + (sin(angle) * total if degrees > 1 else 0.0)) * 2 / pi
