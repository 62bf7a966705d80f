"""What to measure out: published recipes, and every recipe mixed again."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.core.menstruum.published import rows
from tests.core.menstruum.temperatures import SIXTY_FAHRENHEIT_C
from tests.hypothesis_profile import LONG
from tracker.core.menstruum.mixture import Part, mixture
from tracker.core.menstruum.proportions import SpiritSupply, most_g, shares_g, used_up_g
from tracker.core.menstruum.recipe import Stock, measure_out

WATER = Stock("water")
GLYCERIN = Stock("glycerin")


def spirit(ethanol_pct_vol, available_ml=None):
    return Stock("ethanol", ethanol_pct_vol, available_ml)


def amounts_ml(recipe):
    return [part.ml for part in recipe.parts]


def mixed_again(recipe, reference_c=20.0):
    parts = [Part(part.liquid, part.ml, part.ethanol_pct_vol) for part in recipe.parts]
    return mixture(parts, reference_c)


def test_a_hundred_grams_of_70_from_96_are_weighed_as_printed():
    """Published dilution formulary: 66.5 g of 96 % vol and 33.5 g of water."""
    recipe = measure_out([spirit(96), WATER], ethanol_pct_vol=70, volume_ml=1000)
    grams = [part.g for part in recipe.parts]

    assert 100 * grams[0] / sum(grams) == pytest.approx(66.5, abs=0.05)
    assert 100 * grams[1] / sum(grams) == pytest.approx(33.5, abs=0.05)


@pytest.mark.parametrize(
    ("start_pct", "target_pct", "alcohol", "water", "makes", "sg"), rows("bpc1911_dilution")
)
def test_a_hundred_volumes_are_measured_out_as_in_the_codex(
    start_pct, target_pct, alcohol, water, makes, sg
):
    """British Pharmaceutical Codex 1911, "Alcohol", at 15.5 °C."""
    recipe = measure_out(
        [spirit(start_pct), WATER],
        ethanol_pct_vol=target_pct,
        volume_ml=makes,
        reference_c=15.5,
    )

    assert amounts_ml(recipe)[0] == pytest.approx(alcohol, abs=0.01)
    assert amounts_ml(recipe)[1] == pytest.approx(water, rel=0.004)


def test_handrub_needs_the_printed_volume_of_spirit():
    """WHO-recommended handrub formulation I: 8333 ml of 96 % for 10 000 ml of 80 %."""
    recipe = measure_out([WATER, spirit(96)], ethanol_pct_vol=80, volume_ml=10_000)
    spirit_ml = next(part.ml for part in recipe.parts if part.liquid == "ethanol")

    assert spirit_ml == pytest.approx(8333, abs=0.5)
    assert recipe.made_up_with.liquid == "water"
    assert recipe.contraction_ml == pytest.approx(sum(amounts_ml(recipe)) - 10_000)
    assert recipe.contraction_ml > 200


def test_reducing_proof_is_the_same_question():
    """27 CFR 30.66: 12.43 gallons of water bring 100 of 112 proof to 100 proof, at 60 °F."""
    recipe = measure_out(
        [spirit(56, 100), WATER], ethanol_pct_vol=50, reference_c=SIXTY_FAHRENHEIT_C
    )

    assert amounts_ml(recipe) == pytest.approx([100, 12.43], abs=0.01)


def test_menstruum_of_thirty_spirit_and_ten_glycerin_comes_out():
    """Common practice of the trade; made up to volume it needs no mixing model:
    300 / 0.95 ml of 95 % spirit and 100 ml of glycerin in a litre."""
    recipe = measure_out(
        [spirit(95), WATER, GLYCERIN],
        ethanol_pct_vol=30,
        glycerin_pct_vol=10,
        volume_ml=1000,
    )

    assert recipe.reachable
    assert amounts_ml(recipe)[0] == pytest.approx(300 / 0.95)
    assert amounts_ml(recipe)[2] == pytest.approx(100)
    assert recipe.volume_ml == pytest.approx(1000)
    assert recipe.ethanol_pct_vol == pytest.approx(30)
    assert recipe.glycerin_pct_vol == pytest.approx(10)
    assert recipe.allowance_pct_vol > 0.1


def test_raising_a_weak_spirit_uses_all_of_it():
    """Alligation by mass, worked by hand from OIML R 22: 30 % vol is 24.61 % by mass in
    962.21 kg/m3, 45 is 37.80, 95 is 92.41 in 811.38; so 481.1 g takes 116.2 g."""
    recipe = measure_out([spirit(30, 500), spirit(95)], ethanol_pct_vol=45)

    assert recipe.reachable
    assert amounts_ml(recipe)[0] == pytest.approx(500)
    assert recipe.parts[0].g == pytest.approx(481.1, abs=0.05)
    assert recipe.parts[1].g == pytest.approx(116.2, abs=0.2)


def test_two_bottles_are_used_up_with_water():
    """All the ethanol goes into the mix: (300 * 0.95 + 400 * 0.40) / 0.5 = 890 ml."""
    recipe = measure_out([spirit(95, 300), spirit(40, 400), WATER], ethanol_pct_vol=50)

    assert recipe.reachable
    assert amounts_ml(recipe)[:2] == pytest.approx([300, 400])
    assert recipe.volume_ml == pytest.approx(890)


def test_two_bottles_without_water_leave_some_of_the_stronger():
    recipe = measure_out([spirit(95, 300), spirit(40, 400)], ethanol_pct_vol=60)

    assert recipe.reachable
    assert recipe.ethanol_pct_vol == pytest.approx(60)
    assert amounts_ml(recipe)[1] == pytest.approx(400)
    assert 0 < amounts_ml(recipe)[0] < 300


def test_bottles_with_an_amount_go_first_and_then_the_order_given():
    ends = measure_out([spirit(95), spirit(40, 200), WATER], ethanol_pct_vol=50, volume_ml=1000)
    strong_first = measure_out([spirit(95), spirit(40), WATER], ethanol_pct_vol=50, volume_ml=1e3)
    weak_first = measure_out([spirit(40), spirit(95), WATER], ethanol_pct_vol=50, volume_ml=1e3)

    assert [part.ethanol_pct_vol for part in ends.parts] == [95, 40, 0]
    assert ends.parts[1].ml == pytest.approx(200)
    assert [part.liquid for part in strong_first.parts] == ["ethanol", "water"]
    assert [part.ethanol_pct_vol for part in weak_first.parts] == [40, 95]


def test_too_strong_a_wish_gets_the_strongest_there_is():
    recipe = measure_out([spirit(40), WATER], ethanol_pct_vol=60, volume_ml=500)

    assert not recipe.reachable
    assert "strongest" in recipe.why
    assert "40.0 % vol" in recipe.why
    assert recipe.ethanol_pct_vol == pytest.approx(40)
    assert recipe.volume_ml == pytest.approx(500)


def test_too_weak_a_wish_without_water_gets_the_weakest_there_is():
    recipe = measure_out([spirit(40), spirit(95)], ethanol_pct_vol=20, volume_ml=500)

    assert not recipe.reachable
    assert "weakest" in recipe.why
    assert recipe.ethanol_pct_vol == pytest.approx(40)


def test_glycerin_takes_its_room_from_the_strength():
    recipe = measure_out(
        [spirit(95), WATER, GLYCERIN],
        ethanol_pct_vol=90,
        glycerin_pct_vol=30,
        volume_ml=500,
    )

    assert not recipe.reachable
    assert "with 30 % glycerin" in recipe.why
    assert recipe.glycerin_pct_vol == pytest.approx(30)
    assert 64 < recipe.ethanol_pct_vol < 69


def test_too_little_spirit_gets_the_most_it_makes():
    """All the ethanol goes into the mix: 200 * 0.95 / 0.60 = 316.7 ml."""
    recipe = measure_out([spirit(95, 200), WATER], ethanol_pct_vol=60, volume_ml=1000)

    assert not recipe.reachable
    assert "only enough for 317 ml" in recipe.why
    assert recipe.volume_ml == pytest.approx(190 / 0.6)
    assert recipe.ethanol_pct_vol == pytest.approx(60)


def test_missing_glycerin_is_said_and_left_out():
    recipe = measure_out(
        [spirit(95), WATER], ethanol_pct_vol=30, glycerin_pct_vol=10, volume_ml=500
    )

    assert not recipe.reachable
    assert "no glycerin" in recipe.why
    assert recipe.glycerin_pct_vol == 0
    assert recipe.ethanol_pct_vol == pytest.approx(30)


def test_little_glycerin_limits_the_volume():
    stocks = [spirit(95), WATER, Stock("glycerin", available_ml=50)]
    wanted = {"ethanol_pct_vol": 30, "glycerin_pct_vol": 10}
    too_much = measure_out(stocks, **wanted, volume_ml=1000)
    used_up = measure_out(stocks, **wanted)

    assert not too_much.reachable
    assert too_much.volume_ml == pytest.approx(500)
    assert used_up.reachable
    assert used_up.volume_ml == pytest.approx(500)


def test_glycerin_from_two_bottles_takes_the_first_to_its_end():
    recipe = measure_out(
        [WATER, Stock("glycerin", available_ml=30), GLYCERIN],
        ethanol_pct_vol=0,
        glycerin_pct_vol=50,
        volume_ml=100,
    )

    assert amounts_ml(recipe)[1:] == pytest.approx([30, 20])


@pytest.mark.parametrize(
    ("stocks", "ethanol_pct_vol", "glycerin_pct_vol"),
    [
        ([spirit(100), WATER], 100, 0),
        ([spirit(95), WATER], 95, 0),
        ([spirit(95), WATER], 0, 0),
        ([WATER, GLYCERIN], 0, 100),
    ],
)
def test_an_end_of_the_scale_needs_one_stock_only(stocks, ethanol_pct_vol, glycerin_pct_vol):
    recipe = measure_out(
        stocks,
        ethanol_pct_vol=ethanol_pct_vol,
        glycerin_pct_vol=glycerin_pct_vol,
        volume_ml=100,
    )

    assert recipe.reachable
    assert amounts_ml(recipe) == pytest.approx([100])
    assert recipe.contraction_ml == pytest.approx(0, abs=1e-9)


def test_an_empty_house_makes_nothing():
    recipe = measure_out([GLYCERIN, spirit(95, 0)], ethanol_pct_vol=30, volume_ml=100)

    assert not recipe.reachable
    assert recipe.parts == ()
    assert recipe.volume_ml == 0
    assert recipe.made_up_with is None


@pytest.mark.parametrize(
    "wrong",
    [
        {"ethanol_pct_vol": 101},
        {"ethanol_pct_vol": math.nan},
        {"glycerin_pct_vol": -1},
        {"volume_ml": 0},
        {"volume_ml": math.inf},
        {"volume_ml": None},
    ],
)
def test_a_question_without_meaning_is_refused(wrong):
    asked = {"ethanol_pct_vol": 50, "volume_ml": 100} | wrong

    with pytest.raises(ValueError):
        measure_out([spirit(95), WATER], **asked)


@pytest.mark.parametrize(
    ("liquid", "ethanol_pct_vol", "available_ml"),
    [("oil", 0, None), ("water", 5, None), ("ethanol", 101, None), ("ethanol", 50, -1)],
)
def test_a_stock_without_meaning_is_refused(liquid, ethanol_pct_vol, available_ml):
    with pytest.raises(ValueError):
        Stock(liquid, ethanol_pct_vol, available_ml)


@st.composite
def reachable_wishes(draw):
    """Stocks, and what some amounts of them come to: so it can be made again."""
    volume = st.floats(min_value=5, max_value=2000)
    strength = st.integers(min_value=0, max_value=10_000).map(lambda n: n / 100)  # as on labels
    poured = draw(
        st.lists(st.builds(Part, st.just("ethanol"), volume, strength), min_size=1, max_size=5)
    )
    if draw(st.booleans()):
        poured.append(Part("water", draw(volume)))
    if draw(st.booleans()):
        poured.append(Part("glycerin", draw(volume)))
    limited = draw(st.lists(st.booleans(), min_size=len(poured), max_size=len(poured)))
    stocks = [
        Stock(part.liquid, part.ethanol_pct_vol, part.volume_ml if is_limited else None)
        for part, is_limited in zip(poured, limited, strict=True)
    ]
    return stocks, mixture(poured)


@LONG
@given(reachable_wishes())
def test_whatever_can_be_made_is_found_and_comes_out_when_mixed(wish):
    stocks, wanted = wish
    recipe = measure_out(
        stocks,
        ethanol_pct_vol=wanted.ethanol_pct_vol,
        glycerin_pct_vol=wanted.glycerin_pct_vol,
        volume_ml=wanted.volume_ml,
    )
    mixed = mixed_again(recipe)

    assert recipe.reachable, recipe.why
    assert mixed.ethanol_pct_vol == pytest.approx(wanted.ethanol_pct_vol, abs=1e-5)
    assert mixed.glycerin_pct_vol == pytest.approx(wanted.glycerin_pct_vol, abs=1e-5)
    assert mixed.volume_ml == pytest.approx(wanted.volume_ml, rel=1e-6)
    assert mixed.mass_g == pytest.approx(sum(part.g for part in recipe.parts))
    assert mixed.mass_g == pytest.approx(wanted.mass_g, rel=1e-6)


@LONG
@given(reachable_wishes(), st.floats(min_value=0, max_value=100))
def test_no_stock_is_ever_overdrawn(wish, ethanol_pct_vol):
    stocks, _ = wish
    recipe = measure_out(stocks, ethanol_pct_vol=ethanol_pct_vol, volume_ml=5000)

    for part in recipe.parts:
        alike = [
            stock.available_ml
            for stock in stocks
            if (stock.liquid, stock.ethanol_pct_vol) == (part.liquid, part.ethanol_pct_vol)
        ]
        limit_ml = max(math.inf if ml is None else ml for ml in alike)
        assert 0 < part.ml <= limit_ml * (1 + 1e-9)
    assert recipe.volume_ml <= 5000 * (1 + 1e-9)


@LONG
@given(reachable_wishes(), st.floats(min_value=0, max_value=100))
def test_an_unreachable_strength_gets_the_nearest_end(wish, ethanol_pct_vol):
    stocks, _ = wish
    strengths = [stock.ethanol_pct_vol for stock in stocks if stock.liquid != "glycerin"]
    nearest = min(max(ethanol_pct_vol, min(strengths)), max(strengths))

    recipe = measure_out(stocks, ethanol_pct_vol=ethanol_pct_vol, volume_ml=1)

    assert recipe.ethanol_pct_vol == pytest.approx(nearest, abs=1e-5)
    assert recipe.reachable is (abs(nearest - ethanol_pct_vol) < 1e-9)


def test_the_most_is_had_by_spending_the_nearest_strength_first():
    """Worked by hand: 100 g of 0.9 balances 0.4 * 100 of excess; 150 g of 0.3 takes 30 of
    it at 0.2 below, the rest 10 takes 20 g of water at 0.5 below: 100 + 150 + 20."""
    supplies = [SpiritSupply(0.9, 100), SpiritSupply(0.3, 150), SpiritSupply(0.0)]

    assert most_g(0.5, supplies) == pytest.approx(270)
    assert most_g(0.5, [SpiritSupply(0.9), SpiritSupply(0.0)]) == math.inf
    assert most_g(0.5, [SpiritSupply(0.9), SpiritSupply(0.6)]) == 0
    assert most_g(0.5, [SpiritSupply(0.5, 7)]) == 7


def test_using_up_takes_help_from_the_side_that_is_missing():
    """Worked by hand: 100 g of 0.8 needs 60 g of water to come to 0.5; 100 g of 0.2 needs
    75 g of 0.9."""
    assert used_up_g(0.5, [SpiritSupply(0.8, 100), SpiritSupply(0.0)]) == pytest.approx(160)
    assert used_up_g(
        0.5, [SpiritSupply(0.2, 100), SpiritSupply(0.9), SpiritSupply(0.0)]
    ) == pytest.approx(175)
    assert used_up_g(0.5, [SpiritSupply(0.5, 100), SpiritSupply(0.0)]) == pytest.approx(100)
    with pytest.raises(ValueError, match="no supply has a limit"):
        used_up_g(0.5, [SpiritSupply(0.9), SpiritSupply(0.0)])


def test_shares_follow_the_order_given():
    """Worked by hand: 100 g of 0.5 with as much 0.6 as can be: 83.3 g and 16.7 g of water."""
    supplies = [SpiritSupply(0.6), SpiritSupply(0.9), SpiritSupply(0.0)]

    assert shares_g(100, 0.5, supplies) == pytest.approx([250 / 3, 0, 50 / 3])
