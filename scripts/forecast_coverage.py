#!/usr/bin/env python3
"""How often the next pressing falls in the band: `python scripts/forecast_coverage.py [MAKERS]`.

Makers are made up, each with a true mean and spread of what a herb's marc holds back. They
press one jar after another, and before each the band is reckoned from the earlier ones.
Calibrated makers are drawn from what the handbook's band says (the prior of
`likely_yield.hold_back`); for them the claim has to hold at any number of own pressings. Of
fresh herb there is no handbook, and it has to hold for any maker. The rows after that are
makers far from the handbook: they show how soon their own pressings bring the band to them.
"""

import sys
from collections.abc import Callable, Mapping, Sequence
from math import sqrt
from pathlib import Path
from random import Random

sys.path.insert(0, str(Path(__file__).parents[1]))

from tracker.core.reckoning.likely_yield import (
    CLAIM,
    HANDBOOK,
    HANDBOOK_WEIGHT,
    handbook_spread,
    hold_back,
)

Band = tuple[float, float]
Maker = Callable[[Random], tuple[float, float]]  # the true mean and spread, ml per g

OWN = (0, 1, 2, 3, 4, 6, 8, 12, 20)


def calibrated(handbook: Band) -> Maker:
    """A maker of the sort the handbook speaks of."""

    def drawn(chance: Random) -> tuple[float, float]:
        chi_squared = chance.gammavariate(HANDBOOK_WEIGHT / 2, 2)
        spread = handbook_spread(handbook) * sqrt(HANDBOOK_WEIGHT / chi_squared)
        return chance.gauss(sum(handbook) / 2, spread / sqrt(HANDBOOK_WEIGHT)), spread

    return drawn


def far_off(handbook: Band, widths: float, share: float) -> Maker:
    """A maker so many widths of the band above its middle, with that share of its spread."""
    low, high = handbook
    mean = (low + high) / 2 + widths * (high - low)
    return lambda _: (mean, share * handbook_spread(handbook))


def coverage(
    maker: Maker, handbook: Band | None, own: Sequence[int], makers: int, seed: int = 1
) -> Mapping[int, float | None]:
    """The share of makers whose next pressing falls in the band, by their own pressings so far."""
    chance = Random(seed)
    hits, bands = dict.fromkeys(own, 0), dict.fromkeys(own, 0)
    for _ in range(makers):
        mean, spread = maker(chance)
        held = [chance.gauss(mean, spread) for _ in range(max(own) + 1)]
        for count in own:
            band = hold_back(held[:count], handbook)
            if band is not None:
                bands[count] += 1
                hits[count] += band.low_ml_per_g <= held[count] <= band.high_ml_per_g
    return {count: hits[count] / bands[count] if bands[count] else None for count in own}


def main() -> None:
    """Print a row for each sort of maker."""
    makers = int(sys.argv[1]) if len(sys.argv) > 1 else 20_000
    rows: list[tuple[str, Maker, Band | None]] = []
    for method, band in HANDBOOK.items():
        rows.append((f"{method}, calibrated", calibrated(band), band))
    rows.append(("fresh, no handbook", lambda _: (0.4, 0.3), None))
    for method, band in HANDBOOK.items():
        rows.append((f"{method}, half a band off", far_off(band, 0.5, 1), band))
        rows.append((f"{method}, a band off", far_off(band, 1, 1), band))
        rows.append((f"{method}, twice the spread", far_off(band, 0, 2), band))
        rows.append((f"{method}, half the spread", far_off(band, 0, 0.5), band))
    print(f"% of the next pressings within the band; the claim is {CLAIM:.0%}")
    print(f"{'own pressings':32}" + "".join(f"{count:>6}" for count in OWN))
    for name, maker, handbook in rows:
        found = coverage(maker, handbook, OWN, makers).values()
        cells = ("     –" if one is None else f"{one * 100:6.1f}" for one in found)
        print(f"{name:32}" + "".join(cells))


if __name__ == "__main__":
    main()
