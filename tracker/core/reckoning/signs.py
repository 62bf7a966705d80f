"""What a sign seen at a look calls for, where the maker says nothing else."""

from collections.abc import Iterable
from typing import TYPE_CHECKING

if TYPE_CHECKING:  # what is due is asked by verbs that need no facts
    from tracker.core.facts.fields import Sign, Verdict

# Something lives in it. Common practice, no source: held until somebody has seen to it.
SPOILING: frozenset[str] = frozenset({"mould", "slime", "gas", "smell"})
# It may be harmless, and the days show. Common practice, no source.
TO_WATCH: frozenset[str] = frozenset({"flecks", "cloudy", "level"})


def verdict_of(signs: "Iterable[Sign]") -> "Verdict":
    """What signs call for: a hold, another look, or nothing."""
    seen = set(signs)
    if seen & SPOILING:
        return "hold"
    return "watch" if seen & TO_WATCH else "fine"


def spoiling(signs: Iterable[str]) -> list[str]:
    """Those of the signs that call for a hold, in their order."""
    return [one for one in signs if one in SPOILING]
