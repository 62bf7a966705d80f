"""How much more of one thing to pour into what is already there."""

from collections.abc import Callable, Sequence

import msgspec

from tracker.core.menstruum import ethanol_water
from tracker.core.menstruum.mixture import Part, mixture
from tracker.core.menstruum.zero import rising_root


def ml_to_strength(
    parts: Sequence[Part],
    pour: Part,
    ethanol_pct_vol: float,
    reference_c: float = ethanol_water.REFERENCE_C,
) -> float | None:
    """How much of a liquid brings what is there to a strength.

    Args:
        parts: what is there, herb water included.
        pour: what is to be added; its `volume_ml` does not count.
        ethanol_pct_vol: wanted strength, % vol.
        reference_c: temperature at which volumes and strengths are meant, °C.

    Returns:
        Millilitres to add, 0 if the strength is there already; None if this liquid can
        never bring it there, or if the mixture cannot be reckoned.
    """
    now = mixture(parts, reference_c).ethanol_pct_vol
    alone = mixture([msgspec.structs.replace(pour, volume_ml=1.0)], reference_c).ethanol_pct_vol
    one_more = [*parts, msgspec.structs.replace(pour, volume_ml=1.0)]
    if now is None or alone is None or not mixture(one_more, reference_c).reckoned:
        return None
    if abs(now - ethanol_pct_vol) < 1e-9:
        return 0.0
    upwards = 1.0 if ethanol_pct_vol > now else -1.0
    if (alone - ethanol_pct_vol) * upwards <= 0.0:
        return None

    def past_it(added_ml: float) -> float:
        both = mixture([*parts, msgspec.structs.replace(pour, volume_ml=added_ml)], reference_c)
        return ((both.ethanol_pct_vol or 0.0) - ethanol_pct_vol) * upwards

    return rising_root(past_it, 0.0, _enough_ml(past_it))


def _enough_ml(past_it: Callable[[float], float]) -> float:
    """An amount that is enough, found by doubling."""
    enough_ml = 1.0
    while past_it(enough_ml) < 0.0:
        enough_ml *= 2.0
    return enough_ml
