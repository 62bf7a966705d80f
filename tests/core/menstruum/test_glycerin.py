"""Glycerin and water against the handbook and one reference library."""

from itertools import pairwise

import pytest

from tests.core.menstruum.published import rows
from tests.core.menstruum.temperatures import SIXTY_FAHRENHEIT_C
from tracker.core.menstruum.glycerin import (
    contraction_ml,
    density_kg_m3,
    pure_density_kg_m3,
)


@pytest.mark.parametrize(("pct_mass", "sg_20_20", "kg_m3", "contraction_pct"), rows("glycerol_20C"))
def test_density_and_contraction_are_those_of_the_handbook(
    pct_mass, sg_20_20, kg_m3, contraction_pct
):
    """Lange's Handbook of Chemistry, 15th edition, table 5.13 (Bosart and Snoddy)."""
    glycerin_ww = pct_mass / 100
    # The table's last column comes out as % of the mixed volume, whatever its head says.
    lost_pct = contraction_ml(glycerin_ww, 1 - glycerin_ww) * kg_m3 / 10

    assert density_kg_m3(glycerin_ww) == pytest.approx(kg_m3, abs=0.02)
    assert density_kg_m3(glycerin_ww) == pytest.approx(998.20 * sg_20_20, abs=0.02)
    # The contraction is a small difference of rounded numbers: 0.01 kg/m3 is 0.001 %.
    assert lost_pct == pytest.approx(contraction_pct, abs=0.002)


@pytest.mark.parametrize("celsius", [SIXTY_FAHRENHEIT_C, 20.0])
def test_density_agrees_with_an_independent_library(celsius):
    """CoolProp INCOMP::MGL (after Melinder), good for 0 to 60 % by mass."""
    properties = pytest.importorskip("CoolProp.CoolProp")

    for pct_mass in range(0, 61):
        fluid = f"INCOMP::MGL[{pct_mass / 100}]"
        theirs = properties.PropsSI("D", "T", celsius + 273.15, "P", 101325, fluid)
        assert density_kg_m3(pct_mass / 100, celsius) == pytest.approx(theirs, abs=0.6)


def test_density_only_rises_with_glycerin():
    curve = [density_kg_m3(i / 500) for i in range(501)]

    assert all(weaker < stronger for weaker, stronger in pairwise(curve))


def test_the_row_from_memory_lies_on_the_curve_of_the_printed_ones():
    """A parabola through Lange's rows at 80, 90 and 100 % by mass, taken at 95 %."""
    parabola = -0.125 * 1.2109 + 0.75 * 1.23755 + 0.375 * 1.26362

    assert density_kg_m3(0.95) / density_kg_m3(0.0) == pytest.approx(parabola, abs=0.0002)


def test_20_degrees_and_next_to_it_are_one_curve():
    """At 20 °C the table is read, beside it volumes are added: both must meet."""
    for glycerin_ww in (0.0, 0.37, 0.95, 1.0):
        beside = density_kg_m3(glycerin_ww, 20.0 + 1e-9)
        assert beside == pytest.approx(density_kg_m3(glycerin_ww), abs=1e-5)


def test_one_liquid_alone_does_not_contract():
    assert contraction_ml(100.0, 0.0) == 0.0
    assert contraction_ml(0.0, 100.0) == 0.0


@pytest.mark.parametrize(
    ("glycerin_ww", "celsius"), [(-0.01, 20), (1.01, 20), (0.5, 14.9), (0.5, 25.1)]
)
def test_nothing_is_reckoned_outside_the_table(glycerin_ww, celsius):
    with pytest.raises(ValueError, match="must be within"):
        density_kg_m3(glycerin_ww, celsius)


def test_pure_glycerin_at_15_degrees_is_that_of_the_handbook():
    """Lange's Handbook, table 5.13: specific gravity 15/15 °C 1.26557 (from memory)."""
    water_at_15_kg_m3 = 999.10  # CRC Handbook of Chemistry and Physics

    printed = 1.26557 * water_at_15_kg_m3

    assert pure_density_kg_m3(15.0) == pytest.approx(printed, abs=0.3)
