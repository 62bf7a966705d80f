"""Adding one thing to what is there: dilution tables of three countries."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.core.menstruum.by_volume import water_from_g
from tests.core.menstruum.published import rows
from tests.core.menstruum.temperatures import SIXTY_FAHRENHEIT_C
from tests.hypothesis_profile import LONG
from tracker.core.menstruum.addition import ml_to_strength
from tracker.core.menstruum.mixture import Part, mixture

WATER = Part("water", 1)


def spirit(volume_ml, ethanol_pct_vol):
    return Part("ethanol", volume_ml, ethanol_pct_vol)


@pytest.mark.parametrize(("start_pct", "target_pct", "water", "oiml_60f"), rows("dilution_sample"))
def test_water_for_a_hundred_volumes_is_that_of_gay_lussac(start_pct, target_pct, water, oiml_60f):
    """Gay-Lussac's dilution table, at 60 °F; beside it the same by OIML R 22."""
    added = ml_to_strength([spirit(100, start_pct)], WATER, target_pct, SIXTY_FAHRENHEIT_C)

    assert added == pytest.approx(water, rel=0.004)
    assert added == pytest.approx(oiml_60f, abs=0.006)


@pytest.mark.parametrize(
    ("start_pct", "target_pct", "alcohol", "water", "makes", "sg"), rows("bpc1911_dilution")
)
def test_water_and_spirit_are_those_of_the_codex(start_pct, target_pct, alcohol, water, makes, sg):
    """British Pharmaceutical Codex 1911, "Alcohol", at 15.5 °C."""
    parts = [spirit(alcohol, start_pct)]
    added = ml_to_strength(parts, WATER, target_pct, 15.5)
    mixed = mixture([*parts, Part("water", water)], 15.5)

    assert added == pytest.approx(water, rel=0.004)
    assert mixed.volume_ml == pytest.approx(makes, abs=0.1)
    assert mixed.density_kg_m3 / 999.04 == pytest.approx(sg, abs=0.0006)


@pytest.mark.parametrize(
    ("proof", "wanted_proof", "gallons"), [(191, 188, 1.89), (112, 100, 12.43)]
)
def test_water_to_reduce_proof_is_that_of_the_regulation(proof, wanted_proof, gallons):
    """27 CFR 30.66, per 100 wine gallons. The first is printed as 1.84 there, because an
    intermediate is rounded; without that rounding its own figures give 1.89."""
    added = ml_to_strength([spirit(100, proof / 2)], WATER, wanted_proof / 2, SIXTY_FAHRENHEIT_C)

    assert added == pytest.approx(gallons, abs=0.01)


def test_a_weak_fresh_jar_is_told_what_to_add():
    """Fresh herb in 40 % spirit is the common trap; the answer must reach the target."""
    jar = [spirit(500, 40), water_from_g(250 * 0.8)]

    added_ml = ml_to_strength(jar, spirit(1, 95), 35)

    assert mixture(jar).ethanol_pct_vol < 30
    assert mixture([*jar, spirit(added_ml, 95)]).ethanol_pct_vol == pytest.approx(35, abs=1e-9)


def test_glycerin_and_honey_in_the_jar_are_no_hindrance():
    jar = [spirit(500, 40), Part("glycerin", 100), Part("honey", 50)]

    added_ml = ml_to_strength(jar, spirit(1, 95), 45)

    assert mixture([*jar, spirit(added_ml, 95)]).ethanol_pct_vol == pytest.approx(45, abs=1e-9)


@pytest.mark.parametrize(
    ("parts", "pour", "wanted_pct_vol"),
    [
        ([spirit(100, 40)], WATER, 50),
        ([spirit(100, 40)], spirit(1, 45), 50),
        ([spirit(100, 40)], spirit(1, 50), 50),
        ([spirit(100, 40)], spirit(1, 95), 30),
        ([spirit(100, 40), Part("oil", 10)], WATER, 30),
        ([spirit(100, 40)], Part("oil", 1), 30),
        ([], WATER, 30),
    ],
)
def test_what_can_never_be_reached_is_not_promised(parts, pour, wanted_pct_vol):
    assert ml_to_strength(parts, pour, wanted_pct_vol) is None


def test_what_is_there_already_needs_nothing():
    assert ml_to_strength([spirit(100, 40)], WATER, 40) == 0


@LONG
@given(
    st.floats(min_value=1, max_value=100),
    st.floats(min_value=0.5, max_value=99.5),
    st.floats(min_value=1, max_value=10_000),
)
def test_diluting_gives_the_strength_that_was_asked_for(start, wanted, volume_ml):
    assume(wanted < start - 1e-6)
    parts = [spirit(volume_ml, start)]

    added_ml = ml_to_strength(parts, WATER, wanted)

    mixed = mixture([*parts, Part("water", added_ml)])
    assert mixed.ethanol_pct_vol == pytest.approx(wanted, abs=1e-8)
