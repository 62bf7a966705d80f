"""How much of each spirit and of water to take, by mass, so that masses and ethanol agree.

By mass nothing contracts, so a mix of `mass_g` grams with the mass fraction `ethanol_ww` is
two plain sums over the supplies: their grams, and their grams of ethanol.
"""

import math
from collections.abc import Sequence

import msgspec

from tracker.core.menstruum.zero import rising_root

# Strengths closer than this count as the same: a hundred-millionth of one per cent.
_SAME_WW = 1e-10

# A share of the whole so small that only rounding can have made it.
_ROUNDING_SHARE = 1e-10


class SpiritSupply(msgspec.Struct, frozen=True):
    """Spirit or water at hand: its strength by mass, and how much there is."""

    ethanol_ww: float
    available_g: float = math.inf


def most_g(ethanol_ww: float, supplies: Sequence[SpiritSupply]) -> float:
    """The greatest mass of a strength that the supplies can make; inf if unlimited.

    What is stronger than wanted and what is weaker must balance. Each side is spent from the
    supply nearest to the wanted strength, which gives most for its excess.
    """
    same_g = math.fsum(supply.available_g for supply in supplies if _is_same(supply, ethanol_ww))
    sides = [
        sorted(
            (abs(supply.ethanol_ww - ethanol_ww), supply.available_g)
            for supply in supplies
            if not _is_same(supply, ethanol_ww) and (supply.ethanol_ww > ethanol_ww) is is_stronger
        )
        for is_stronger in (True, False)
    ]
    excess_g = min(
        math.fsum(distance * grams for distance, grams in side if grams > 0.0) for side in sides
    )
    return same_g + math.fsum(_mass_with_excess_g(side, excess_g) for side in sides)


def used_up_g(ethanol_ww: float, supplies: Sequence[SpiritSupply]) -> float:
    """The mass of that strength which uses up every limited supply, or as much as possible.

    If the limited supplies together are too strong, the weakest unlimited one balances them; if
    too weak, the strongest does. If there is none, something is left over.

    Raises:
        ValueError: if no supply is limited, as then there is nothing to use up.
    """
    limited = [supply for supply in supplies if supply.available_g < math.inf]
    if not limited:
        raise ValueError("no supply has a limit: say how much to make")
    limited_g = math.fsum(supply.available_g for supply in limited)
    excess_g = math.fsum(
        supply.available_g * (supply.ethanol_ww - ethanol_ww) for supply in limited
    )
    endless_ww = [s.ethanol_ww for s in supplies if s.available_g == math.inf]
    helper_ww = min(endless_ww, default=ethanol_ww)
    if excess_g < 0.0:
        helper_ww = max(endless_ww, default=ethanol_ww)
    if abs(excess_g) <= _SAME_WW * limited_g:
        return limited_g
    if excess_g * (ethanol_ww - helper_ww) <= 0.0:
        return most_g(ethanol_ww, supplies)
    return limited_g + excess_g / (ethanol_ww - helper_ww)


def shares_g(mass_g: float, ethanol_ww: float, supplies: Sequence[SpiritSupply]) -> list[float]:
    """How much of each supply makes that mass of that strength.

    Where there is a choice, supplies named earlier are used as far as they go.

    Args:
        mass_g: what is wanted, not above `most_g`.
        ethanol_ww: its strength by mass.
        supplies: in the order in which they should be used.

    Returns:
        Grams of each, in the same order.
    """
    shares: list[float] = []
    left_g, left_ethanol_g = mass_g, mass_g * ethanol_ww
    for k, supply in enumerate(supplies):
        share_g = _greatest_share_g(supplies[k:], left_g, left_ethanol_g)
        if share_g < _ROUNDING_SHARE * mass_g:
            share_g = 0.0
        shares.append(share_g)
        left_g = max(0.0, left_g - share_g)
        left_ethanol_g = max(0.0, left_ethanol_g - share_g * supply.ethanol_ww)
    return shares


def _is_same(supply: SpiritSupply, ethanol_ww: float) -> bool:
    return abs(supply.ethanol_ww - ethanol_ww) <= _SAME_WW


def _mass_with_excess_g(side: Sequence[tuple[float, float]], excess_g: float) -> float:
    """Mass from one side whose distances times masses come to `excess_g`, nearest first."""
    total_g = 0.0
    for distance, available_g in side:
        grams = min(available_g, excess_g / distance)
        total_g += grams
        excess_g = max(0.0, excess_g - grams * distance) if grams < math.inf else 0.0
    return total_g


def _greatest_share_g(supplies: Sequence[SpiritSupply], mass_g: float, ethanol_g: float) -> float:
    """The most of the first supply with which the others can still do what remains."""
    first, rest = supplies[0], supplies[1:]
    highest_g = min(first.available_g, mass_g)
    if not rest:
        return highest_g

    def missed_g(share_g: float) -> float:
        """By how much ethanol the others fall short of, or exceed, what is left to them."""
        left_ethanol_g = ethanol_g - share_g * first.ethanol_ww
        weakest, strongest = _extremes_g(rest, mass_g - share_g)
        return max(
            _ethanol_g(rest, weakest) - left_ethanol_g,
            left_ethanol_g - _ethanol_g(rest, strongest),
        )

    possible_g = min(highest_g, _possible_shares_g(supplies, mass_g, ethanol_g)[0])
    allowed_g = max(0.0, missed_g(possible_g)) + 1e-13 * mass_g
    return rising_root(lambda grams: missed_g(grams) - allowed_g, possible_g, highest_g)


def _possible_shares_g(
    supplies: Sequence[SpiritSupply], mass_g: float, ethanol_g: float
) -> list[float]:
    """One way to make it: the weakest and the strongest filling, mixed with each other."""
    weakest, strongest = _extremes_g(supplies, mass_g)
    least_g, most_g = _ethanol_g(supplies, weakest), _ethanol_g(supplies, strongest)
    part = (ethanol_g - least_g) / (most_g - least_g) if most_g > least_g else 0.0
    part = min(1.0, max(0.0, part))
    return [w + part * (s - w) for w, s in zip(weakest, strongest, strict=True)]


def _extremes_g(supplies: Sequence[SpiritSupply], mass_g: float) -> tuple[list[float], list[float]]:
    """Shares of the weakest and of the strongest mix of that mass."""
    order = sorted(range(len(supplies)), key=lambda k: supplies[k].ethanol_ww)
    return _filled_g(supplies, order, mass_g), _filled_g(supplies, order[::-1], mass_g)


def _filled_g(supplies: Sequence[SpiritSupply], order: Sequence[int], mass_g: float) -> list[float]:
    shares = [0.0] * len(supplies)
    for k in order:
        shares[k] = min(supplies[k].available_g, mass_g)
        mass_g -= shares[k]
    return shares


def _ethanol_g(supplies: Sequence[SpiritSupply], shares_g: Sequence[float]) -> float:
    return math.fsum(s.ethanol_ww * g for s, g in zip(supplies, shares_g, strict=True))
