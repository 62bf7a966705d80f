"""Ethanol and water against the tables of several offices and one reference library."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.core.menstruum.by_volume import volume_fraction
from tests.core.menstruum.published import oiml_r22, rows
from tests.core.menstruum.temperatures import SIXTY_FAHRENHEIT_C
from tests.hypothesis_profile import LONG
from tracker.core.menstruum.ethanol_water import (
    density_kg_m3,
    mass_fraction,
)

shares = st.floats(min_value=0.0, max_value=1.0)
references = st.sampled_from([SIXTY_FAHRENHEIT_C, 15.0, 20.0])


def density_by_the_letter(table, ethanol_ww, celsius):
    """The general formula term by term, from the copy beside the tests."""
    above_20 = celsius - 20.0
    density = table["A"][0]
    density += sum(table["A"][k - 1] * ethanol_ww ** (k - 1) for k in range(2, 13))
    density += sum(table["B"][k - 1] * above_20**k for k in range(1, 7))
    for i, row in enumerate(table["C"], start=1):
        density += sum(c * ethanol_ww**k * above_20**i for k, c in enumerate(row, start=1))
    return density


@pytest.mark.parametrize("celsius", [-20.0, -3.0, 10.0, 20.0, 31.0, 40.0])
def test_every_coefficient_is_the_printed_one(celsius):
    """OIML R 22 (1975). One slipped digit in any of the 54 moves a sum somewhere here."""
    table = oiml_r22()

    for ethanol_ww in (0.0, 0.07, 0.31, 0.5, 0.77, 1.0):
        printed = density_by_the_letter(table, ethanol_ww, celsius)
        assert density_kg_m3(ethanol_ww, celsius) == pytest.approx(printed, abs=1e-6)


@pytest.mark.parametrize(("pct_vol", "kg_m3"), rows("density_20C"))
def test_density_at_20_degrees_is_that_of_the_alcoholometric_tables(pct_vol, kg_m3):
    """International Alcoholometric Tables (OIML R 22)."""
    assert density_kg_m3(mass_fraction(pct_vol / 100)) == pytest.approx(kg_m3, abs=0.02)


@pytest.mark.parametrize(("pct_mass", "celsius", "g_ml"), rows("density_by_temperature"))
def test_density_away_from_20_degrees_is_that_of_the_handbook(pct_mass, celsius, g_ml):
    """US Bureau of Standards table; every C term acts here, none does at 20 °C."""
    assert density_kg_m3(pct_mass / 100, celsius) == pytest.approx(1000 * g_ml, abs=0.15)


@pytest.mark.parametrize(("pct_vol", "pct_mass"), rows("mass_vol_20C"))
def test_mass_and_volume_per_cent_agree_with_the_hospital_table(pct_vol, pct_mass):
    """Published hospital-hygiene concentration table, rounded there to 0.1."""
    assert 100 * mass_fraction(pct_vol / 100) == pytest.approx(pct_mass, abs=0.06)
    assert 100 * volume_fraction(pct_mass / 100) == pytest.approx(pct_vol, abs=0.11)


@pytest.mark.parametrize(
    ("proof", "alcohol", "water", "sg_air", "sg_vacuum"), rows("table6_sample")
)
def test_respective_volumes_are_those_of_the_gauging_manual(
    proof, alcohol, water, sg_air, sg_vacuum
):
    """TTB Gauging Manual, Table 6 (27 CFR 30.66), at 60 °F.

    The manual rests on older American measurements than OIML R 22, hence 0.0002 for the
    specific gravity in vacuum.
    """
    reference = SIXTY_FAHRENHEIT_C
    ethanol_ww = mass_fraction(proof / 200, reference)
    mixed_kg_m3 = density_kg_m3(ethanol_ww, reference)
    water_kg_m3 = density_kg_m3(0.0, reference)

    assert alcohol == proof / 2
    assert 100 * mixed_kg_m3 * (1 - ethanol_ww) / water_kg_m3 == pytest.approx(water, abs=0.015)
    assert mixed_kg_m3 / water_kg_m3 == pytest.approx(sg_vacuum, abs=0.0002)
    assert in_air(mixed_kg_m3) / in_air(water_kg_m3) == pytest.approx(sg_air, abs=0.0002)


def in_air(kg_m3):
    """What a cubic metre weighs in air: air 1.2 kg/m3, weights 8000 kg/m3 (OIML R 111)."""
    return kg_m3 * (1 - 1.2 / kg_m3) / (1 - 1.2 / 8000)


def test_a_hundred_gallons_of_190_proof_weigh_what_the_regulation_says():
    """27 CFR 30.65, worked example: 679.4 lb. Gallon 3.785411784 l, pound 0.45359237 kg."""
    density = density_kg_m3(mass_fraction(0.95, SIXTY_FAHRENHEIT_C), SIXTY_FAHRENHEIT_C)

    pounds = in_air(density) * 0.3785411784 / 0.45359237

    assert pounds == pytest.approx(679.4, abs=0.1)


@pytest.mark.parametrize("celsius", [0, 10, 20, 30, 40])
def test_density_agrees_with_an_independent_library(celsius):
    """CoolProp INCOMP::MEA (after Melinder), good for 0 to 60 % by mass."""
    properties = pytest.importorskip("CoolProp.CoolProp")

    for pct_mass in range(0, 61, 2):
        fluid = f"INCOMP::MEA[{pct_mass / 100}]"
        theirs = properties.PropsSI("D", "T", celsius + 273.15, "P", 101325, fluid)
        assert density_kg_m3(pct_mass / 100, celsius) == pytest.approx(theirs, abs=0.6)


@pytest.mark.parametrize("celsius", [SIXTY_FAHRENHEIT_C, 20.0, 40.0])
def test_density_only_falls_as_strength_rises(celsius):
    """A bump in the curve is a typing slip that a sparse table cannot see."""
    curve = [density_kg_m3(i / 500, celsius) for i in range(501)]

    assert all(weaker > stronger for weaker, stronger in pairwise(curve))


@LONG
@given(shares, references)
def test_volume_to_mass_and_back_is_the_same_number(ethanol_vv, reference_c):
    there = mass_fraction(ethanol_vv, reference_c)

    assert volume_fraction(there, reference_c) == pytest.approx(ethanol_vv, abs=1e-9)


@LONG
@given(shares, references)
def test_mass_to_volume_and_back_is_the_same_number(ethanol_ww, reference_c):
    there = volume_fraction(ethanol_ww, reference_c)

    assert mass_fraction(there, reference_c) == pytest.approx(ethanol_ww, abs=1e-9)


@LONG
@given(shares, shares, references)
def test_stronger_by_volume_is_stronger_by_mass(one_vv, other_vv, reference_c):
    weaker, stronger = sorted((one_vv, other_vv))

    assert mass_fraction(weaker, reference_c) <= mass_fraction(stronger, reference_c)


@pytest.mark.parametrize("reference_c", [-20.0, SIXTY_FAHRENHEIT_C, 20.0, 40.0])
def test_water_is_nought_and_ethanol_a_hundred_at_any_temperature(reference_c):
    assert mass_fraction(0.0, reference_c) == 0.0
    assert volume_fraction(0.0, reference_c) == 0.0
    assert mass_fraction(1.0, reference_c) == pytest.approx(1.0, abs=1e-12)
    assert volume_fraction(1.0, reference_c) == 1.0


@pytest.mark.parametrize(
    ("ethanol_ww", "celsius"),
    [(-1e-9, 20), (1 + 1e-9, 20), (float("nan"), 20), (0.5, -20.01), (0.5, 40.01)],
)
def test_nothing_is_reckoned_outside_the_formula(ethanol_ww, celsius):
    """OIML R 22 (1975) holds from -20 to 40 °C."""
    with pytest.raises(ValueError, match="must be within"):
        density_kg_m3(ethanol_ww, celsius)
    with pytest.raises(ValueError, match="must be within"):
        mass_fraction(ethanol_ww, celsius)


def test_the_step_between_reference_temperatures_is_small():
    """It is what lets "190 proof" be said as 95 % vol at 20 °C, rounded to one decimal."""
    steps = [
        100 * volume_fraction(mass_fraction(pct / 100, SIXTY_FAHRENHEIT_C), 20.0) - pct
        for pct in range(101)
    ]

    assert max(abs(step) for step in steps) < 0.08
    assert max(abs(step) for step in steps) > 0.05
