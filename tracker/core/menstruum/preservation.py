"""Will it keep: what the strength of an extract says about moulds and yeasts."""

from typing import Final, Literal

import msgspec

Level = Literal["fine", "caution", "warning", "unknown"]

# Where published figures differ, the makers' two usual thresholds are taken, both from
# memory: pharmacy texts count 15 to 20 % vol as preserving an acid or neutral preparation;
# herbals ask for 25 % vol, and more for fresh herb, whose water weakens the spirit.
WARN_BELOW_PCT_VOL: Final = 20.0
CAUTION_BELOW_PCT_VOL: Final = 25.0


class Preservation(msgspec.Struct, frozen=True):
    """How a strength is judged, and why, in a sentence for the maker."""

    level: Level
    reason: str


def preservation(
    ethanol_pct_vol: float | None,
    warn_below: float = WARN_BELOW_PCT_VOL,
    caution_below: float = CAUTION_BELOW_PCT_VOL,
    glycerin_pct_vol: float = 0.0,
) -> Preservation:
    """Whether ethanol of this strength is likely to keep an extract from spoiling.

    Args:
        ethanol_pct_vol: strength of the whole, herb water included, % vol; None if unknown.
        warn_below: below this, % vol, it is likely to spoil.
        caution_below: below this, % vol, it may; not lower than `warn_below`.
        glycerin_pct_vol: glycerin in it, % vol. It changes no level; only the reason.

    Returns:
        "fine", "caution", "warning", or "unknown" without a strength. A strength of exactly
        a threshold is not below it. Ethanol is all that is judged: for a menstruum that is
        kept by acid, sugar or dryness it says nothing.

    Raises:
        ValueError: thresholds out of order.

    Source:
        Makers' thresholds, from memory; published figures differ between 15 and 25 % vol.
    """
    if warn_below > caution_below:
        raise ValueError(f"warn_below {warn_below} is above caution_below {caution_below}")
    if ethanol_pct_vol is None:
        return Preservation("unknown", "the strength is not known")
    helped = ""
    if glycerin_pct_vol > 0.0:
        helped = f"; what {glycerin_pct_vol:.0f} % glycerin adds to its keeping is uncertain"
    at = f"{ethanol_pct_vol:.1f} % vol"
    if ethanol_pct_vol < warn_below:
        return Preservation("warning", f"{at} is below {warn_below:g} %: likely to spoil{helped}")
    if ethanol_pct_vol < caution_below:
        return Preservation(
            "caution",
            f"{at} is below {caution_below:g} %: it may not keep, published figures differ{helped}",
        )
    return Preservation("fine", f"{at} is not below {caution_below:g} %")
