"""Proof, American and British: how spirits were and are sold by other numbers than % vol."""

from typing import Final

# 27 CFR 30.11: proof is twice the ethanol by volume at 60 °F.
US_PROOF_PER_PCT: Final = 2.0

# Spirit of 100 British proof weighs 12/13 of an equal volume of water at 51 °F (Hydrometer
# Act 1818, from memory), usually given as 57.15 % vol and worked as four parts in seven.
BRITISH_PROOF_PER_PCT: Final = 7.0 / 4.0


def us_proof(ethanol_pct_vol: float) -> float:
    """American proof of a spirit.

    Args:
        ethanol_pct_vol: strength at 60 °F, 0 to 100 % vol. At 20 °C the number differs by
            less than 0.08.

    Returns:
        Degrees of US proof, 0 to 200.

    Raises:
        ValueError: outside that range.

    Source:
        27 CFR 30.11: twice the ethanol by volume at 60 °F.
    """
    return _checked(ethanol_pct_vol, 100.0, "ethanol_pct_vol") * US_PROOF_PER_PCT


def british_proof(ethanol_pct_vol: float) -> float:
    """British proof of a spirit, where 100 is proof spirit.

    Args:
        ethanol_pct_vol: strength, 0 to 100 % vol.

    Returns:
        Degrees of British proof, 0 to 175.

    Raises:
        ValueError: outside that range.

    Source:
        Proof spirit of the Hydrometer Act 1818 (12/13 of the weight of an equal volume of
        water at 51 °F), by the common relation of 4 to 7: 57.15 % vol = 100.

    Good for:
        About 0.2 degrees: the definition itself comes to 57.1 % vol by OIML R 22.
    """
    return _checked(ethanol_pct_vol, 100.0, "ethanol_pct_vol") * BRITISH_PROOF_PER_PCT


def _checked(value: float, most: float, name: str) -> float:
    if not 0.0 <= value <= most:
        raise ValueError(f"{name} must be within 0 to {most:g}, got {value}")
    return value
