"""Proof, American and British: how spirits were and are sold by other numbers than % vol."""

from typing import Final

# 27 CFR 30.11: proof is twice the ethanol by volume at 60 °F.
US_PROOF_PER_PCT: Final = 2.0

# Spirit of 100 British proof weighs 12/13 of an equal volume of water at 51 °F (Hydrometer
# Act 1818, from memory), usually given as 57.15 % vol and worked as four parts in seven.
BRITISH_PROOF_PER_PCT: Final = 7.0 / 4.0
