"""What to expect of a jar, in words: whether it keeps, and what it may give."""

from collections.abc import Sequence
from math import ceil

from tracker.core.reckoning.fortification import Addition, Keeping
from tracker.core.reckoning.likely_yield import CLAIM, Likely

# How often a pressing falls in the band that is said to be likely.
CLAIMED = f"{CLAIM * 10:.0f} of 10 pressings"


def keeping(found: Keeping) -> str:
    """Whether it keeps, and what to add if not, rounded up so that it is enough."""
    if not found.additions:
        return found.reason
    return f"{found.reason}. {_to_add(found.additions)} to reach {found.target_pct_vol:g} %"


def _to_add(additions: Sequence[Addition]) -> str:
    ways = [
        f"{ceil(one.ml) if one.ml > 10 else ceil(one.ml * 10) / 10:g} ml of "
        f"{one.ethanol_pct_vol:g} % spirit"
        for one in additions
    ]
    return f"Add {' or '.join(ways)}"


def likely(found: Sequence[Likely]) -> str:
    """What pressing is likely to give by each method, and on what that rests."""
    return ", ".join(
        f"{one.low_ml:.0f} to {one.high_ml:.0f} ml {one.method} ({_rests_on(one)})" for one in found
    )


def _rests_on(one: Likely) -> str:
    if not one.own:
        return "handbook"
    pressings = "pressing" if one.own == 1 else "pressings"
    return f"{one.own} {pressings} of your own"
