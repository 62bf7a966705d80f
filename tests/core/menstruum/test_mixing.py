"""Mixing against published recipes and hand-worked jars, and against itself."""

import timeit
from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.core.menstruum.by_volume import water_from_g
from tests.core.menstruum.temperatures import SIXTY_FAHRENHEIT_C
from tests.hypothesis_profile import LONG
from tracker.core.menstruum import ethanol_water, glycerin, ternary
from tracker.core.menstruum.liquids import LIQUIDS
from tracker.core.menstruum.mixture import (
    Part,
    mass_g,
    mixture,
    scaled,
)

US_FL_OZ_ML = 29.5735
OZ_G = 28.3495

amounts = st.floats(min_value=0.1, max_value=20_000)
strengths = st.floats(min_value=0.0, max_value=100.0)
spirits = st.builds(Part, st.just("ethanol"), amounts, strengths)
others = st.builds(
    Part, st.sampled_from(["water", "glycerin", "vinegar", "honey", "syrup"]), amounts
)
pours = st.lists(spirits | others, min_size=1, max_size=8)


def spirit(volume_ml, ethanol_pct_vol):
    return Part("ethanol", volume_ml, ethanol_pct_vol)


def test_fifty_and_fifty_do_not_make_a_hundred():
    """Known fact of alcoholometry: 50 ml ethanol and 50 ml water make 96.46 ml at 20 °C."""
    mixed = mixture([spirit(50, 100), Part("water", 50)])

    assert mixed.volume_ml == pytest.approx(96.46, abs=0.005)
    assert mixed.ethanol_pct_vol == pytest.approx(51.83, abs=0.005)
    assert mixed.ethanol_ml == 50
    assert mixed.simple_volume_ml == 100
    assert mixed.simple_ethanol_pct_vol == 50


def test_spirit_of_96_is_brought_to_70_by_weight():
    """Published dilution formulary: 66.5 g of 96 % vol and 33.5 g of water make 70 % vol."""
    density_g_ml = ethanol_water.density_kg_m3(ethanol_water.mass_fraction(0.96)) / 1000

    mixed = mixture([spirit(66.5 / density_g_ml, 96), water_from_g(33.5)])

    assert mixed.mass_g == pytest.approx(100.0)
    assert mixed.ethanol_pct_vol == pytest.approx(70.0, abs=0.06)


def test_alligation_by_volume_is_half_a_per_cent_short():
    """4 of 95 % and 5 of 50 %: alligation says 70, the tables of OIML R 22 say 70.55."""
    mixed = mixture([spirit(400, 95), spirit(500, 50)])

    assert mixed.simple_ethanol_pct_vol == pytest.approx(70.0)
    assert mixed.ethanol_pct_vol == pytest.approx(70.55, abs=0.005)


def test_fresh_herb_weakens_the_spirit():
    """Worked by hand from OIML R 22: 500 g at 56 % moisture in 1000 ml of 95 %."""
    mixed = mixture([spirit(1000, 95), water_from_g(500 * 0.56)])

    assert mixed.ethanol_pct_vol == pytest.approx(75.8, abs=0.05)
    assert mixed.simple_ethanol_pct_vol == pytest.approx(74.2, abs=0.05)


@pytest.mark.parametrize(
    ("fl_oz", "pct_vol", "simple_pct_vol", "volume_ml"),
    [(24, 71.5, 69.9, 942.5), (26, 73.0, 71.3, 1001.1)],
)
def test_fresh_tops_in_190_proof_come_out_as_worked_by_hand(
    fl_oz, pct_vol, simple_pct_vol, volume_ml
):
    """Hand-worked jar: 12 oz of fresh herb, three quarters water, before and after a top-up."""
    water = water_from_g(12 * OZ_G * 0.75)

    mixed = mixture([spirit(fl_oz * US_FL_OZ_ML, 95), water])

    assert water.volume_ml == pytest.approx(255.6, abs=0.05)
    assert mixed.ethanol_pct_vol == pytest.approx(pct_vol, abs=0.1)
    assert mixed.simple_ethanol_pct_vol == pytest.approx(simple_pct_vol, abs=0.1)
    assert mixed.volume_ml == pytest.approx(volume_ml, abs=0.1)


def test_a_crock_of_three_pours_and_a_draw_off_come_out_as_worked_by_hand():
    """Hand-worked crock: 1500 ml of 50 %, 500 and 250 ml of 75.5 %; half of it, less 100 ml,
    topped up with 100 ml of 50 %."""
    poured = [spirit(1500, 50), spirit(500, 75.5), spirit(250, 75.5)]
    crock = mixture(poured)
    half = scaled(poured, 0.5)
    left = scaled(half, 1 - 100 / 1125)
    topped_up = mixture([*left, spirit(100, 50)])

    assert crock.volume_ml == pytest.approx(2246, abs=0.5)
    assert crock.ethanol_pct_vol == pytest.approx(58.6, abs=0.05)
    assert crock.simple_ethanol_pct_vol == pytest.approx(58.5)
    assert mixture(half).ethanol_pct_vol == pytest.approx(crock.ethanol_pct_vol)
    assert topped_up.ethanol_pct_vol == pytest.approx(57.8, abs=0.05)


def test_glycerin_and_water_are_the_handbook_alone():
    """Lange's Handbook, table 5.13: 50 % by mass has 1126.42 kg/m3 at 20 °C."""
    glycerin_ml = 1000 * 100 / 1261.35

    mixed = mixture([Part("glycerin", glycerin_ml), water_from_g(100)])

    assert mixed.density_kg_m3 == pytest.approx(1126.42, abs=0.02)
    assert mixed.ethanol_pct_vol == 0.0
    assert mixed.allowance_pct_vol == 0.1


def test_three_liquids_lie_between_the_two_simple_models():
    """There is no published table of all three: the allowance must say so."""
    parts = [spirit(316, 95), Part("water", 610), Part("glycerin", 100)]
    mixed = mixture(parts)
    without = mixture(parts[:2])

    assert mixed.reckoned
    assert 0 < mixed.simple_volume_ml - mixed.volume_ml < 0.04 * mixed.simple_volume_ml
    assert mixed.glycerin_pct_vol == pytest.approx(100 * 100 / mixed.volume_ml)
    assert mixed.allowance_pct_vol > without.allowance_pct_vol == 0.1
    assert mixed.allowance_pct_vol <= 0.5


def test_a_trace_of_the_third_liquid_changes_nothing():
    """The model of three must run into each published table of two."""
    spirit_only = ternary.volume_ml(300, 700, 0)
    glycerin_only = 1000 * 1000 / glycerin.density_kg_m3(0.3)

    assert ternary.volume_ml(300, 700, 1e-9) == pytest.approx(spirit_only)
    assert ternary.volume_ml(1e-9, 700, 300) == pytest.approx(glycerin_only)
    assert ternary.uncertainty_ml(300, 700, 1e-9) == pytest.approx(0, abs=1e-6)
    assert ternary.uncertainty_ml(300, 700, 0) == 0
    assert ternary.uncertainty_ml(0, 700, 300) == 0


def test_ethanol_and_glycerin_alone_are_not_said_to_be_certain():
    """No table of the pair is at hand: 1.5 % of the volume is allowed for, stated in the
    model, so that 50 ml and 50 ml are 50 % vol give or take 0.75 and the usual 0.1."""
    mixed = mixture([spirit(50, 100), Part("glycerin", 50)])

    assert mixed.volume_ml == pytest.approx(100)
    assert mixed.allowance_pct_vol == pytest.approx(0.9)


def test_vinegar_contracts_with_spirit_as_water_does_but_weighs_more():
    with_water = mixture([spirit(500, 95), Part("water", 500)])
    with_vinegar = mixture([spirit(500, 95), Part("vinegar", 500)])

    assert with_vinegar.volume_ml == pytest.approx(with_water.volume_ml)
    assert with_vinegar.mass_g > with_water.mass_g
    assert with_vinegar.allowance_pct_vol > with_water.allowance_pct_vol


@pytest.mark.parametrize(
    ("liquid", "lowest", "highest"),
    [
        # CRC Handbook, acetic acid 5 % by mass: 1005.5 (from memory); vinegars up to 1015.
        ("vinegar", 1005, 1015),
        # Codex Alimentarius standard 12 allows 20 % moisture; honeys 1390 to 1440 (memory).
        ("honey", 1390, 1440),
        # United States and British Pharmacopoeia, Syrup: 1.30 to 1.333 g/ml (from memory).
        ("syrup", 1300, 1333),
        # Codex Alimentarius standard 33, olive oil: 0.910 to 0.916 (from memory).
        ("oil", 910, 916),
        ("glycerin", 1260, 1262),  # Lange's Handbook, table 5.13
        ("water", 998.19, 998.22),  # OIML R 22 (1975)
    ],
)
def test_each_liquid_alone_has_its_handbook_density(liquid, lowest, highest):
    alone = mixture([Part(liquid, 250)])

    assert lowest <= alone.density_kg_m3 <= highest
    assert alone.volume_ml == pytest.approx(250)
    assert alone.ethanol_pct_vol == 0
    assert alone.mass_g == pytest.approx(mass_g(Part(liquid, 250)))


@pytest.mark.parametrize("liquid", ["honey", "syrup"])
def test_honey_and_syrup_are_added_by_volume_and_say_so(liquid):
    mixed = mixture([spirit(300, 40), Part(liquid, 100)])

    assert mixed.reckoned
    assert mixed.volume_ml == pytest.approx(400)
    assert mixed.ethanol_pct_vol == pytest.approx(30)
    assert "added by volume" in mixed.why
    assert mixed.allowance_pct_vol >= 0.4


@pytest.mark.parametrize(
    ("pct_mass", "sg_20_20"),
    [
        # Lange's Handbook, table 5.13: specific gravity 20/20 °C.
        (50.0, 1.12845),
        (80.0, 1.2109),
        (90.0, 1.23755),
        (95.0, 1.25075),
    ],
)
def test_a_glycerin_with_water_in_it_counts_its_water(pct_mass, sg_20_20):
    alone = mixture([Part("glycerin", 250, glycerin_pct_mass=pct_mass)])
    glycerin_g = alone.mass_g * pct_mass / 100

    assert alone.density_kg_m3 == pytest.approx(sg_20_20 * 998.201, rel=2e-5)
    assert alone.volume_ml == pytest.approx(250)
    # Pure glycerin is 1.26362 by the same table.
    assert alone.glycerin_pct_vol == pytest.approx(glycerin_g / 1.26362 / 0.998201 / 2.5, rel=2e-5)


def test_glycerin_with_water_is_that_glycerin_and_that_water():
    """85 g of pure glycerin and 15 g of water are 100 g of 85 per cent."""
    whole = mixture([spirit(300, 60), Part("glycerin", 100 / 1.22202, glycerin_pct_mass=85.0)])
    apart = mixture(
        [spirit(300, 60), Part("glycerin", 85 / 1.261347), Part("water", 15 / 0.998201)]
    )

    assert whole.mass_g == pytest.approx(apart.mass_g, rel=1e-4)
    assert whole.ethanol_pct_vol == pytest.approx(apart.ethanol_pct_vol, abs=0.01)
    assert whole.volume_ml == pytest.approx(apart.volume_ml, abs=0.1)


def test_sugar_adds_what_it_takes_up_dissolved():
    """650 g of sucrose in 350 g of water: about 1.319 at 65 % by mass (sugar tables, memory)."""
    mixed = mixture([Part("sugar", 650 * 0.62), Part("water", 350 / 0.998201)])

    assert mixed.mass_g == pytest.approx(1000, abs=0.1)
    assert mixed.density_kg_m3 == pytest.approx(1319, abs=15)
    assert mixed.ethanol_pct_vol == 0


def test_a_wine_is_taken_as_ethanol_and_water_with_more_allowance():
    wine = mixture([Part("ethanol", 300, 12.5, name="red wine"), spirit(200, 96)])
    plain = mixture([spirit(300, 12.5), spirit(200, 96)])

    assert wine.ethanol_pct_vol == plain.ethanol_pct_vol
    assert wine.allowance_pct_vol > plain.allowance_pct_vol
    assert "wine is taken as ethanol and water" in wine.why
    assert not plain.why


@pytest.mark.parametrize(
    "others", [[], [spirit(100, 45)], [Part("water", 50)], [Part("honey", 50)], [Part("oil", 10)]]
)
def test_a_strength_that_is_not_known_is_never_0_and_says_whose(others):
    mixed = mixture([Part("ethanol", 300, None, name="port"), *others])

    assert not mixed.reckoned
    assert mixed.why == "the strength of port is not known"
    unknown = (
        mixed.ethanol_pct_vol, mixed.ethanol_pct_mass, mixed.ethanol_ml, mixed.density_kg_m3,
        mixed.mass_g, mixed.simple_ethanol_pct_vol, mixed.allowance_pct_vol, mixed.volume_ml,
    )  # fmt: skip
    assert unknown == (None,) * 8
    assert mixed.simple_volume_ml == pytest.approx(300 + sum(one.volume_ml for one in others))


@pytest.mark.parametrize("liquid", ["oil", "other"])
def test_what_cannot_be_reckoned_is_not_guessed(liquid):
    mixed = mixture([spirit(300, 40), Part(liquid, 100)])

    assert not mixed.reckoned
    assert mixed.why
    assert mixed.volume_ml is None
    assert mixed.ethanol_pct_vol is None
    assert mixed.density_kg_m3 is None
    assert mixed.allowance_pct_vol is None
    assert mixed.simple_volume_ml == 400
    assert mixed.simple_ethanol_pct_vol == 30


def test_a_sweetened_liqueur_has_no_known_make_up():
    mixed = mixture([Part("syrup", 100, ethanol_pct_vol=20)])

    assert not mixed.reckoned
    assert mixed.simple_ethanol_pct_vol == 20
    assert mixed.mass_g is None


def test_masses_of_oil_and_spirit_are_known_though_they_do_not_mix():
    mixed = mixture([spirit(300, 40), Part("oil", 100)])

    assert mixed.mass_g == pytest.approx(300 * 0.94805 + 100 * 0.914, abs=0.05)


def test_wine_alone_keeps_the_strength_on_its_label():
    mixed = mixture([Part("other", 300, 12), Part("other", 200, 12)])

    assert mixed.reckoned
    assert mixed.ethanol_pct_vol == 12
    assert mixed.volume_ml == 500
    assert mixed.mass_g is None
    assert mixed.density_kg_m3 is None


@pytest.mark.parametrize("parts", [[], [Part("water", 0.0)], [Part("ethanol", 1e-320, 40)]])
def test_nothing_poured_has_no_strength(parts):
    mixed = mixture(parts)

    assert not mixed.reckoned
    assert mixed.ethanol_pct_vol is None
    assert mixed.simple_volume_ml == 0
    assert mixed.simple_ethanol_pct_vol == 0
    assert mixed.mass_g is None


@pytest.mark.parametrize(
    ("liquid", "volume_ml", "ethanol_pct_vol"),
    [
        ("vodka", 100, 40),
        ("ethanol", -1, 40),
        ("ethanol", float("nan"), 40),
        ("ethanol", float("inf"), 40),
        ("ethanol", 100, 100.1),
        ("ethanol", 100, -0.1),
    ],
)
def test_a_pour_outside_its_range_is_refused(liquid, volume_ml, ethanol_pct_vol):
    with pytest.raises(ValueError, match="must be"):
        Part(liquid, volume_ml, ethanol_pct_vol)


@LONG
@given(pours)
def test_mass_is_neither_lost_nor_made(parts):
    mixed = mixture(parts)
    each_g = [mixture([part]).mass_g for part in parts]
    ethanol_g = sum(
        part.volume_ml * part.ethanol_pct_vol / 100 * 0.7892391 for part in parts
    )  # OIML R 22: 789.24 kg/m3

    assert mixed.mass_g == pytest.approx(sum(each_g), rel=1e-9)
    assert mixed.density_kg_m3 * mixed.volume_ml / 1000 == pytest.approx(mixed.mass_g)
    assert mixed.ethanol_pct_mass / 100 * mixed.mass_g == pytest.approx(
        ethanol_g, rel=1e-6, abs=1e-9
    )


@LONG
@given(st.lists(spirits | others, min_size=1, max_size=4))
def test_the_order_of_pouring_leaves_no_trace(parts):
    mixed = mixture(parts)

    assert all(mixture(order) == mixed for order in permutations(parts))


@LONG
@given(st.lists(spirits, min_size=1, max_size=4), st.lists(spirits, min_size=1, max_size=4))
def test_mixing_in_two_steps_is_mixing_at_once(first, second):
    """A mixture of spirits is itself a spirit of its own strength and volume."""
    halfway = mixture(first)
    in_steps = mixture([spirit(halfway.volume_ml, halfway.ethanol_pct_vol), *second])
    at_once = mixture([*first, *second])

    assert in_steps.volume_ml == pytest.approx(at_once.volume_ml, rel=1e-9)
    assert in_steps.ethanol_pct_vol == pytest.approx(at_once.ethanol_pct_vol, abs=1e-8)


@LONG
@given(pours, amounts, strengths, strengths)
def test_a_stronger_pour_makes_a_stronger_mixture(parts, volume_ml, one, other):
    weaker, stronger = sorted((one, other))
    weak = mixture([*parts, spirit(volume_ml, weaker)])
    strong = mixture([*parts, spirit(volume_ml, stronger)])

    assert weak.ethanol_pct_vol <= strong.ethanol_pct_vol + 1e-9


@LONG
@given(st.lists(spirits, min_size=1, max_size=8))
def test_a_mixture_is_never_stronger_or_weaker_than_all_its_parts(parts):
    mixed = mixture(parts)
    each = [part.ethanol_pct_vol for part in parts]

    assert min(each) - 1e-9 <= mixed.ethanol_pct_vol <= max(each) + 1e-9


@LONG
@given(st.lists(spirits, min_size=1, max_size=8))
def test_volume_lost_is_never_above_what_ethanol_and_water_can_lose(parts):
    """OIML R 22: at most 3.6 % of what is poured; weak spirits even gain up to 0.15 %."""
    mixed = mixture(parts)

    assert 0.964 * mixed.simple_volume_ml < mixed.volume_ml < 1.002 * mixed.simple_volume_ml


def test_diluting_weak_spirit_gains_volume_as_in_the_gauging_manual():
    """TTB Table 6, at 60 °F: 50 parts of 20 % hold 10 alcohol and 40.86 water; with 49.86
    of water they are 100 parts of 10 % (10 and 90.72), more than the 99.86 put in."""
    mixed = mixture([spirit(50, 20), Part("water", 49.86)], SIXTY_FAHRENHEIT_C)

    assert mixed.simple_volume_ml == pytest.approx(99.86)
    assert mixed.volume_ml == pytest.approx(100.0, abs=0.015)


@LONG
@given(pours, st.floats(min_value=0.001, max_value=1000))
def test_a_share_of_a_jar_is_as_strong_as_the_jar(parts, factor):
    whole, share = mixture(parts), mixture(scaled(parts, factor))

    assert share.ethanol_pct_vol == pytest.approx(whole.ethanol_pct_vol, abs=1e-9)
    assert share.volume_ml == pytest.approx(whole.volume_ml * factor)


@LONG
@given(strengths, amounts)
def test_a_spirit_alone_is_what_its_label_says(ethanol_pct_vol, volume_ml):
    alone = mixture([spirit(volume_ml, ethanol_pct_vol)])

    assert alone.ethanol_pct_vol == pytest.approx(ethanol_pct_vol, abs=1e-9)
    assert alone.volume_ml == pytest.approx(volume_ml, rel=1e-12)


@LONG
@given(st.lists(st.builds(Part, st.sampled_from(sorted(LIQUIDS)), amounts, strengths)))
def test_any_pours_at_all_are_answered(parts):
    """A book may hold whatever somebody once poured: the answer may be "not known"."""
    mixed = mixture(parts)

    assert mixed.reckoned is (mixed.volume_ml is not None)
    assert mixed.reckoned or mixed.why


def test_ten_pours_take_less_than_a_millisecond():
    """A shelf of hundreds of jars is reckoned at every command."""
    parts = [spirit(100 + i, 95 - 5 * i) for i in range(8)]
    parts += [Part("water", 200), Part("glycerin", 50)]

    best_s = min(timeit.repeat(lambda: mixture(parts), number=10, repeat=30)) / 10

    assert best_s < 0.001
