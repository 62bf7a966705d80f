"""Proof against the definitions in law."""

import pytest

from tests.core.menstruum.temperatures import SIXTY_FAHRENHEIT_C
from tracker.core.menstruum.ethanol_water import (
    density_kg_m3,
    mass_fraction,
)
from tracker.core.menstruum.proof import BRITISH_PROOF_PER_PCT, US_PROOF_PER_PCT


def test_american_proof_is_twice_the_volume():
    """27 CFR 30.65's example: spirit of 190 proof is 95 % vol."""
    assert 190.0 / US_PROOF_PER_PCT == 95.0


def test_british_proof_spirit_is_57_15_per_cent():
    """The common relation of 4 to 7: 57.15 % vol is 100, pure ethanol is 175."""
    assert pytest.approx(57.15, abs=0.01) == 100.0 / BRITISH_PROOF_PER_PCT
    assert 175.0 / BRITISH_PROOF_PER_PCT == 100.0


def test_british_proof_spirit_weighs_twelve_thirteenths_of_water():
    """The definition of 1818, at 51 °F, against densities of OIML R 22."""
    celsius = (51.0 - 32.0) / 1.8
    ethanol_ww = mass_fraction(100.0 / BRITISH_PROOF_PER_PCT / 100.0, SIXTY_FAHRENHEIT_C)

    weight = density_kg_m3(ethanol_ww, celsius) / density_kg_m3(0.0, celsius)

    assert weight == pytest.approx(12 / 13, abs=0.0002)
