"""Flash point against the published table."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.core.menstruum.published import rows
from tests.hypothesis_profile import LONG
from tracker.core.menstruum.ethanol_water import mass_fraction
from tracker.core.menstruum.fire import flash_point_c, may_catch_fire


@pytest.mark.parametrize(("ethanol_pct", "flash_c"), rows("flash_point"))
def test_flash_point_is_the_published_one(ethanol_pct, flash_c):
    """Published safety tables, 5 °C either way."""
    assert flash_point_c(ethanol_pct) == flash_c


@LONG
@given(st.floats(min_value=6.5, max_value=100))
def test_the_reading_by_volume_is_the_lower_one(ethanol_pct_vol):
    """The tables disagree whether they go by mass or volume: the safe reading is taken."""
    by_mass = flash_point_c(100 * mass_fraction(ethanol_pct_vol / 100))

    assert flash_point_c(ethanol_pct_vol) <= by_mass + 1e-9


def test_next_to_no_ethanol_has_no_flash_point_in_the_table():
    assert flash_point_c(0) is None
    assert flash_point_c(4.9) is None


@pytest.mark.parametrize("outside", [-1, 100.1, float("nan")])
def test_a_strength_outside_the_scale_is_refused(outside):
    with pytest.raises(ValueError, match="must be within"):
        flash_point_c(outside)


def test_fire_is_warned_of_five_degrees_early():
    """40 % vol flashes at 26 °C in the table, give or take 5."""
    assert may_catch_fire(40, 21)
    assert not may_catch_fire(40, 20.9)
    assert not may_catch_fire(3, 90)
