"""What a jar takes, against figures of the kitchen and the definitions of the ounces.

Common practice, no source: a 500 ml jar takes about 87 g of fresh herb at 1:5 and 63 g at
1:7; a US quart takes 10 to 11 oz in 20 to 22 fl oz, and 12 oz in 24 fl oz do not fit it.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.hypothesis_profile import USUAL
from tracker.core.reckoning import sizing
from tracker.core.reckoning.sizing import (
    METRIC_VESSELS,
    US_VESSELS,
    Housed,
    Vessel,
    filling_of_herb,
    filling_of_room,
    filling_round_herb,
    herb_band_g,
    ratio_in_ounces,
    ratio_of_ounces,
    vessels_for,
)
from tracker.core.values.errors import TrackerError

# NIST Handbook 44, Appendix C.
OZ_G, FL_OZ_ML, QUART_ML, HALF_GALLON_ML = 28.3495, 29.5735, 946.353, 1892.706

forms = st.sampled_from(["fresh", "dried"])
rooms = st.floats(50, 20_000)
ratios = st.floats(0.5, 50)


@pytest.mark.parametrize(("ratio", "herb_g"), [(5, 87), (7, 63)])
def test_a_half_litre_jar_takes_the_fresh_herb_of_the_kitchen(ratio, herb_g):
    assert filling_of_room(500, ratio, "fresh").herb_g == pytest.approx(herb_g, rel=0.02)


@pytest.mark.parametrize(("ratio", "herb_g"), [(5, 87), (7, 63)])
def test_the_band_for_how_herb_packs_holds_the_kitchen_figures(ratio, herb_g):
    low, high = herb_band_g(500, ratio, "fresh")

    assert low < herb_g < high + 0.05  # 86.96 is "about 87"


def test_the_band_of_a_quart_is_ten_to_eleven_ounces_and_never_twelve():
    low, high = herb_band_g(QUART_ML, 2 * FL_OZ_ML / OZ_G, "fresh")

    assert low / OZ_G == pytest.approx(10.0, abs=0.05)
    assert 11 < high / OZ_G < 12


def test_twelve_ounces_in_24_fluid_ounces_want_a_half_gallon():
    filling = filling_of_herb(12 * OZ_G, 24 * FL_OZ_ML / (12 * OZ_G), "fresh")

    assert filling.menstruum_ml == pytest.approx(24 * FL_OZ_ML)
    assert not sizing.fits(filling.filled_ml, QUART_ML)
    housed = vessels_for(filling.filled_ml, US_VESSELS)
    assert (housed.vessel.name, housed.count) == ("half gallon", 1)
    assert housed.vessel.ml == pytest.approx(HALF_GALLON_ML, abs=0.01)


def test_eleven_ounces_in_22_fluid_ounces_go_into_the_quart():
    filling = filling_of_herb(11 * OZ_G, 22 * FL_OZ_ML / (11 * OZ_G), "fresh")

    assert vessels_for(filling.filled_ml, US_VESSELS).vessel.name == "quart"


def test_one_to_five_in_us_ounces_is_one_to_5_22_in_grams():
    """29.5735 ml and 28.3495 g: NIST Handbook 44, Appendix C."""
    assert ratio_of_ounces(5, "us") == pytest.approx(5.22, abs=0.005)
    assert ratio_in_ounces(5 * FL_OZ_ML / OZ_G, "us") == pytest.approx(5, rel=1e-5)


def test_a_british_ounce_of_water_is_a_fluid_ounce():
    """28.4131 ml (Units of Measurement Regulations 1995), so 1:5 is 1:5.01."""
    assert ratio_of_ounces(5, "british") == pytest.approx(5 * 28.4131 / 28.3495, rel=1e-5)


def test_headspace_is_left_of_the_jar():
    just = Housed(Vessel("500 ml", 500.0))

    assert vessels_for(475, METRIC_VESSELS, 0.05) == just
    assert vessels_for(476, METRIC_VESSELS, 0.05).vessel.ml == 750


def test_more_than_any_jar_takes_is_shared_among_the_largest():
    assert vessels_for(28_500, METRIC_VESSELS) == Housed(Vessel("10 l", 10_000.0), 3)
    assert vessels_for(20_000, METRIC_VESSELS).count == 2
    assert vessels_for(20_000, METRIC_VESSELS, 0.1).count == 3


def test_herb_that_fills_the_jar_alone_is_refused():
    with pytest.raises(TrackerError, match="alone fill"):
        filling_round_herb(500, 1000, "fresh")


@USUAL
@given(rooms, ratios, forms)
def test_herb_and_menstruum_fill_the_room_exactly(room_ml, ratio, form):
    filling = filling_of_room(room_ml, ratio, form)

    assert filling.filled_ml == pytest.approx(room_ml, rel=1e-9)
    assert filling.ratio == pytest.approx(ratio, rel=1e-9)


@USUAL
@given(rooms, ratios, forms)
def test_any_two_of_jar_herb_and_ratio_give_the_third(room_ml, ratio, form):
    by_room = filling_of_room(room_ml, ratio, form)

    assert filling_of_herb(by_room.herb_g, ratio, form).filled_ml == pytest.approx(room_ml)
    round_herb = filling_round_herb(room_ml, by_room.herb_g, form)
    assert round_herb.ratio == pytest.approx(ratio, rel=1e-6)


@USUAL
@given(st.floats(1, 60_000), st.floats(0, 0.5))
def test_the_chosen_jars_hold_it_and_one_fewer_would_not(filled_ml, headspace):
    housed = vessels_for(filled_ml, METRIC_VESSELS, headspace)
    room_ml = housed.vessel.ml * (1 - headspace)
    smaller = [one.ml for one in METRIC_VESSELS if one.ml < housed.vessel.ml]

    assert housed.count * room_ml >= filled_ml * (1 - 1e-8)
    assert (housed.count - 1) * room_ml < filled_ml
    assert not smaller or max(smaller) * (1 - headspace) < filled_ml


def test_herb_that_packs_badly_fills_more_room():
    filling = filling_of_herb(100, 5, "fresh")
    low, high = filling.filled_band_ml

    assert low < filling.filled_ml < high
