"""Proof against the definitions in law."""

import pytest

from tests.core.menstruum.temperatures import SIXTY_FAHRENHEIT_C
from tracker.core.menstruum.ethanol_water import (
    density_kg_m3,
    mass_fraction,
)
from tracker.core.menstruum.proof import (
    BRITISH_PROOF_PER_PCT,
    british_proof,
    us_proof,
)


def test_american_proof_is_twice_the_volume():
    """27 CFR 30.11; 190 proof is the spirit of 27 CFR 30.65's example."""
    assert us_proof(95.0) == 190.0
    assert us_proof(0.0) == 0.0
    assert us_proof(100.0) == 200.0


def test_british_proof_spirit_is_57_15_per_cent():
    """The common relation of 4 to 7: 57.15 % vol is 100, pure ethanol is 175."""
    assert british_proof(57.15) == pytest.approx(100.0, abs=0.02)
    assert british_proof(100.0) == 175.0


def test_british_proof_spirit_weighs_twelve_thirteenths_of_water():
    """The definition of 1818, at 51 °F, against densities of OIML R 22."""
    celsius = (51.0 - 32.0) / 1.8
    ethanol_ww = mass_fraction(100.0 / BRITISH_PROOF_PER_PCT / 100.0, SIXTY_FAHRENHEIT_C)

    weight = density_kg_m3(ethanol_ww, celsius) / density_kg_m3(0.0, celsius)

    assert weight == pytest.approx(12 / 13, abs=0.0002)


@pytest.mark.parametrize("outside", [-0.1, 250.0, float("nan")])
def test_no_proof_is_given_outside_the_scale(outside):
    for scale in (us_proof, british_proof):
        with pytest.raises(ValueError, match="must be within"):
            scale(outside)
