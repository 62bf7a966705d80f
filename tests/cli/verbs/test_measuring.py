"""`strength`, `mix`, `size`, and what the book says of keeping and of odd yields.

Numbers from publications, named beside them; the kitchen's figures have no source.
"""

import json

import pytest

FL_OZ_ML, QUART_ML, GALLON_ML = 29.5735, 946.353, 3785.412  # NIST Handbook 44, Appendix C


# strength


def test_equal_volumes_of_ethanol_and_water_come_to_less_than_both(command):
    """96.46 ml and 51.83 % vol: OIML R 22 (1975), at 20 °C."""
    found = command.json("strength '50 ml 100%' '50 ml water'")

    assert found["volume_ml"] == pytest.approx(96.46, abs=0.01)
    assert found["strength_pct_vol"] == pytest.approx(51.83, abs=0.01)
    assert (found["simple_volume_ml"], found["simple_strength_pct_vol"]) == (100.0, 50.0)
    assert found["glycerin_pct_vol"] == 0.0
    assert found["allowance_pct_vol"] == pytest.approx(0.1)


def test_the_water_of_fresh_herb_is_a_pour_of_its_weight(command):
    """500 g of 56 % moisture in 1000 ml of 95 %: 75.8 % vol, by plain sums 74.2."""
    found = command.json("strength '1000 ml 95%' '280 g water'")

    assert found["strength_pct_vol"] == pytest.approx(75.8, abs=0.05)
    assert found["simple_strength_pct_vol"] == pytest.approx(74.2, abs=0.05)


def test_textbook_alligation_misses_the_contraction(command):
    """4 parts of 95 % and 5 of 50 % are 70.55 % vol (OIML R 22), not 70."""
    found = command.json("strength '4 l 95%' '5 l 50%'")

    assert found["strength_pct_vol"] == pytest.approx(70.55, abs=0.01)
    assert found["simple_strength_pct_vol"] == pytest.approx(70.0)


def test_density_and_strength_by_mass_are_those_of_the_tables(command):
    """OIML R 22: 40 % vol at 20 °C is 948.05 kg/m3 and 33.30 % by mass."""
    found = command.json("strength '700 ml 40%'")

    assert found["density_kg_m3"] == pytest.approx(948.05, abs=0.02)
    assert found["strength_pct_mass"] == pytest.approx(33.30, abs=0.01)


def test_the_screen_shows_the_allowance_and_no_false_digits(command):
    said = command.ok("strength '50 ml 100%' '50 ml water'")

    assert "51.8 ± 0.1 % vol" in said
    assert "96.5 ml" in said
    assert "50.0 % vol" in said


def test_glycerin_widens_the_allowance_and_is_named(command):
    said = command.ok("strength '300 ml 95%' '100 ml glycerin' '600 ml water'")
    found = command.json("strength '300 ml 95%' '100 ml glycerin' '600 ml water'")

    assert "glycerin" in said
    assert found["allowance_pct_vol"] > 0.1
    assert found["glycerin_pct_vol"] == pytest.approx(100 * 100 / found["volume_ml"], abs=0.001)


def test_what_cannot_be_reckoned_is_null_with_the_plain_sums_beside_it(command):
    found = command.json("strength '1 l oil' '1 l 40%'")

    assert found["volume_ml"] is None
    assert found["strength_pct_vol"] is None
    assert found["simple_volume_ml"] == 2000.0
    assert "oil does not mix" in found["why"]
    assert "not reckoned" in command.ok("strength '1 l oil' '1 l 40%'")


def test_a_weighed_pour_has_the_same_strength_by_mass_at_any_temperature(command):
    """100 g each of 40 % and of water: masses know no temperature."""
    at_20, at_60 = (
        command.json(f"strength '100 g 100%' '100 g water' --at {at}") for at in ("20C", "60F")
    )

    assert at_20["strength_pct_mass"] == pytest.approx(50.0, abs=0.002)
    assert at_60["strength_pct_mass"] == pytest.approx(50.0, abs=0.002)
    assert at_60["volume_ml"] < at_20["volume_ml"]


def test_a_jar_of_the_book_is_reckoned_with_every_pour_and_its_herb_water(command):
    """12 oz of 75 % water in 24 fl oz of 95 %, then 2 more: 73.0 %, by plain sums 71.3."""
    command.ok(
        "charge glowberry --fresh '12 oz' --water 75% --pour '24 fl oz 190 proof' --code GB1"
    )
    command.ok("top-up GB1 --pour '2 fl oz 190 proof'")
    found = command.json("strength GB1")

    assert found["strength_pct_vol"] == pytest.approx(73.0, abs=0.1)
    assert found["simple_strength_pct_vol"] == pytest.approx(71.3, abs=0.1)
    assert found["volume_ml"] == pytest.approx(1001.1, abs=0.1)
    assert command.json("strength gb1 --at 60F")["strength_pct_vol"] == pytest.approx(73.0, abs=0.1)


@pytest.mark.parametrize(
    ("line", "message", "code"),
    [
        ("strength QQ-25-01", "goes by QQ-25-01", 1),
        ("strength 500ml", "of what?", 2),
        ("strength '500 ml vodka 80'", "% or proof", 2),
        ("strength '500 ml 145%'", "more than pure", 2),
        ("strength '500 ml 45%' --at 90C", "15 to 25", 2),
        ("strength '500 ml 45%' --at warm", "15 to 25", 2),
        ("strength", "Which pour", 2),
        ("mix --to 50% --from 95% --from water", "How much of it", 2),
        ("mix --to 50% --volume 1l --from '1 l honey'", "neither spirit", 2),
        ("mix --to 50% --volume 1l --from '200 mm 40%'", "no unit", 2),
        ("mix --to 50% --volume 1l --from vodka", "'vodka': how strong", 2),
        ("mix --to 145% --volume 1l --from 95%", "145%", 2),
        ("mix --to 90% --glycerin 20% --volume 1l --from 95%", "more than", 2),
        ("mix --to 0% --glycerin 100% --from '200 ml 40%' --from glycerin", "not a mixture", 2),
        ("mix --volume 1l --from 95%", "Which strength", 2),
        ("size --jar 500ml --ratio 1:5", "fresh or dried", 2),
        ("size --jar 500ml --ratio 1:5 --fresh --dried", "either", 2),
        ("size --jar 500ml --ratio 5 --fresh", "not a ratio", 2),
        ("size --jar 500ml --ratio 1:0 --fresh", "not a ratio", 2),
        ("size --jar 500ml --fresh", "Which ratio", 2),
        ("size --ratio 1:5 --fresh", "Which jar", 2),
        ("size --jar 500g --ratio 1:5 --fresh", "it needs a volume", 2),
        ("size --jar 500ml --ratio 1:5 --fresh --headspace 95%", "no room", 2),
        ("size 1kg --fresh --jar 500ml", "alone fill", 1),
    ],
)
def test_what_cannot_be_answered_says_why(worked, line, message, code):
    assert message in worked.refused(line, code=code)


@pytest.mark.parametrize("verb", ["strength", "mix", "size"])
def test_every_verb_has_help_and_is_listed(command, verb):
    said = command.ok(f"{verb} --help")

    assert "--json" in said
    assert verb in command.ok("--help")


# mix


def test_weights_are_those_of_the_published_dilution(command):
    """96 % to 70 % vol: 66.5 g and 33.5 g of water in 100 g (published dilution formulary)."""
    parts = command.json("mix --to 70% --volume 1l --from 96% --from water")["parts"]
    grams = [part["g"] for part in parts]

    assert [part["what"] for part in parts] == ["96% spirit", "water"]
    assert 100 * grams[0] / sum(grams) == pytest.approx(66.5, abs=0.05)
    assert 100 * grams[1] / sum(grams) == pytest.approx(33.5, abs=0.05)


def test_handrub_is_made_up_to_ten_litres(command):
    """WHO-recommended handrub formulation: 8333 ml of 96 % made up to 10 000 ml, 80 % vol."""
    recipe = command.json("mix --to 80% --volume 10l --from 96% --from water")
    said = command.ok("mix --to 80% --volume 10l --from 96% --from water")

    assert recipe["reachable"] is True
    assert recipe["volume_ml"] == pytest.approx(10_000)
    assert recipe["parts"][0]["ml"] == pytest.approx(8333, abs=0.5)
    assert recipe["parts"][1]["ml"] > 10_000 - 8333
    assert recipe["made_up_with"] == "water"
    assert "water up to 10000 ml" in said
    assert "201 ml less" in said


@pytest.mark.parametrize(("proof", "wanted", "gallons"), [(191, 188, 1.89), (112, 100, 12.43)])
def test_proof_is_reduced_as_in_the_regulation(command, proof, wanted, gallons):
    """27 CFR 30.66, water to 100 wine gallons at 60 °F; 1.84 is printed for the first, where
    an intermediate is rounded."""
    recipe = command.json(
        f"mix --to '{wanted} proof' --from '100 gal {proof} proof' --from water --at 60F"
    )

    assert recipe["parts"][0]["ml"] == pytest.approx(100 * GALLON_ML, abs=1)
    assert recipe["parts"][1]["ml"] / GALLON_ML == pytest.approx(gallons, abs=0.01)


def test_a_mix_comes_to_what_strength_says_of_its_parts(command):
    """30 % spirit and 10 % glycerin: a menstruum of common practice."""
    recipe = command.json(
        "mix --to 30% --glycerin 10% --volume 1l --from 95% --from water --from glycerin"
    )
    names = {"95% spirit": "95%", "water": "water", "glycerin": "glycerin"}
    pours = [f"{part['ml']} ml {names[part['what']]}" for part in recipe["parts"]]
    mixed = command.json("strength", *pours)

    assert len(pours) == 3
    assert mixed["strength_pct_vol"] == pytest.approx(30.0, abs=0.01)
    assert mixed["glycerin_pct_vol"] == pytest.approx(10.0, abs=0.01)
    assert mixed["volume_ml"] == pytest.approx(1000.0, abs=0.05)
    assert recipe["simple_volume_ml"] == pytest.approx(
        sum(p["ml"] for p in recipe["parts"]), abs=0.01
    )


def test_without_a_volume_the_stated_amounts_are_used_up(command):
    recipe = command.json("mix --to 60% --from '200 ml 40%' --from '100 ml 50%' --from 95%")
    taken = {part["what"]: part["ml"] for part in recipe["parts"]}

    assert taken["40% spirit"] == pytest.approx(200)
    assert taken["50% spirit"] == pytest.approx(100)
    assert recipe["strength_pct_vol"] == pytest.approx(60.0, abs=0.01)


def test_an_amount_is_a_limit(command):
    answer = command.run("mix --to 40% --volume 1l --from '200 ml 95%' --from water --json")
    recipe = json.loads(answer.out)

    assert (answer.code, recipe["reachable"]) == (1, False)
    assert recipe["parts"][0]["ml"] == pytest.approx(200)
    assert recipe["volume_ml"] == pytest.approx(200 * 95 / 40, abs=0.1)
    assert "only enough for 475 ml" in answer.err


@pytest.mark.parametrize(
    ("line", "nearest", "why"),
    [
        ("--to 98% --volume 1l --from 95% --from water", 95.0, "strongest"),
        ("--to 30% --volume 1l --from 95% --from 40%", 40.0, "weakest"),
        ("--to 30% --glycerin 10% --volume 1l --from 95% --from water", 30.0, "no glycerin"),
    ],
)
def test_what_cannot_be_reached_exits_1_and_shows_the_nearest(command, line, nearest, why):
    answer = command.run(f"mix {line} --json")
    recipe = json.loads(answer.out)

    assert (answer.code, recipe["reachable"]) == (1, False)
    assert recipe["strength_pct_vol"] == pytest.approx(nearest, abs=0.01)
    assert why in answer.err
    assert why in recipe["why"]


def test_strong_spirit_is_called_a_danger_of_fire_and_weak_is_not(command):
    strong = command.run("mix --to 60% --volume 1l --from 95% --from water")
    weak = command.run("mix --to 10% --volume 1l --from 20% --from water")

    assert "can catch fire" in strong.err
    assert weak.err == ""


# size


@pytest.mark.parametrize(("ratio", "herb_g"), [("1:5", 87), ("1:7", 63)])
def test_a_half_litre_jar_takes_what_the_kitchen_says(command, ratio, herb_g):
    """About 87 g fresh at 1:5 and 63 g at 1:7: common practice, no source."""
    found = command.json(f"size --jar 500ml --ratio {ratio} --fresh")

    assert found["herb_g"] == pytest.approx(herb_g, abs=1)
    assert found["menstruum_ml"] == pytest.approx(found["herb_g"] * found["ratio"], abs=0.1)
    assert (found["jar_ml"], found["filled_ml"]) == (500.0, 500.0)


def test_twelve_ounces_in_24_do_not_fit_a_quart_and_a_half_gallon_is_named(command):
    """A quart takes 10 to 11 oz in 20 to 22 fl oz: common practice, no source."""
    answer = command.run("size --fresh '12 oz' --ratio 1:2 --jar '1 quart' --json")
    found = json.loads(answer.out)

    assert (answer.code, found["fits"]) == (1, False)
    assert found["menstruum_ml"] == pytest.approx(24 * FL_OZ_ML, abs=0.05)
    assert found["filled_ml"] > QUART_ML
    assert (found["jar"], found["jar_ml"]) == (
        "half gallon",
        pytest.approx(2 * QUART_ML, abs=0.1),
    )
    assert "A half gallon jar would do" in answer.err


def test_ten_ounces_in_20_fit_the_quart(command):
    found = command.json("size --fresh '10 oz' --ratio 1:2 --jar '1 quart'")

    assert found["fits"] is True
    assert found["jar"] == "quart"


def test_ounce_people_see_both_ratios(command):
    """1:5 in US oz:fl oz is 1:5.22 in g:ml (NIST Handbook 44)."""
    said = command.ok("size --dried '4 oz' --ratio 1:5")
    found = command.json("size --dried '4 oz' --ratio 1:5")

    assert "1:5 in oz:fl oz" in said
    assert "1:5.22 in g:ml" in said
    assert found["ratio"] == pytest.approx(5.22, abs=0.005)
    assert found["ratio_oz_fl_oz"] == pytest.approx(5.0)
    assert found["menstruum_ml"] == pytest.approx(20 * FL_OZ_ML, abs=0.05)


def test_which_ratio_is_meant_can_be_said(command):
    in_grams = command.json("size --dried '4 oz' --ratio '1:5 g'")
    in_ounces = command.json("size --dried 100g --ratio '1:5 oz'")

    assert in_grams["ratio"] == pytest.approx(5.0)
    assert in_ounces["ratio"] == pytest.approx(5.22, abs=0.005)


def test_a_jar_is_chosen_in_the_units_that_were_written(command):
    """650 ml in all: a quart among US jars, 750 ml among metric ones."""
    assert command.json("size --dried 114g --ratio '1:5 g'")["jar"] == "750 ml"
    assert command.json("size --dried '4 oz' --ratio '1:5 g'")["jar"] == "quart"
    command.practice('units = "british"\n')
    assert command.json("size --dried '4 oz' --ratio '1:5 g'")["jar"] == "750 ml"


def test_from_jar_and_herb_comes_the_ratio(command):
    by_ratio = command.json("size --jar 750ml --ratio 1:6 --dried")
    by_herb = command.json(f"size {by_ratio['herb_g']}g --jar 750ml --dried")

    assert by_herb["ratio"] == pytest.approx(6.0, abs=0.001)
    assert by_herb["menstruum_ml"] == pytest.approx(by_ratio["menstruum_ml"], abs=0.01)


def test_headspace_takes_its_share_of_all_of_it(command):
    full, spare = (
        command.json(f"size --jar 500ml --ratio 1:5 --fresh --headspace {share}")
        for share in ("0%", "10%")
    )

    assert spare["filled_ml"] == pytest.approx(450.0)
    assert spare["herb_g"] == pytest.approx(0.9 * full["herb_g"], abs=0.02)


def test_a_lot_of_herb_goes_into_several_jars(command):
    found = command.json("size --dried 5kg --ratio 1:5")

    assert found["jars"] * found["jar_ml"] >= found["filled_ml"]
    assert found["jars"] == 3


def test_the_basis_of_the_displacement_is_said(command):
    said = command.ok("size --jar 500ml --ratio 1:5 --fresh")

    assert "86 g" in said
    assert "no source" in said
    assert "by how it packs" in said


def test_what_is_missing_is_asked_for_at_a_terminal(command):
    answer = command.at_terminal("size --jar 500ml", typed="soaked\nfresh\n1:7\n")

    assert answer.code == 0
    assert "is neither" in answer.out
    assert "64 g" in answer.out


# Keeping

WEAK = "charge 'Hypericum perforatum' --part herb --fresh 250g --water 80% --pour '300 ml 40%'"


def test_weak_spirit_on_fresh_herb_is_called_out_at_the_charge_and_stays_on_show(command):
    """Below 25 % vol: makers' threshold, from memory."""
    charged = command.ok(WEAK + " --code HY1")
    show = command.ok("show HY1")

    for said in (charged, show):
        assert "24.0 % vol is below 25 %" in said
        assert "of 95 % spirit to reach 25 %" in said


def test_strong_spirit_is_not_spoken_of_at_the_charge(command):
    charged = command.ok("charge Urtica --dried 100g --pour '500 ml 45%' --code UR1")

    assert "keep" not in charged
    assert "not below 25 %" in command.ok("show UR1")


def test_glycerin_is_called_uncertain_and_vinegar_is_not_judged(command):
    with_glycerin = command.ok(WEAK + " --pour '60 ml glycerin' --code HY1")
    vinegar = command.ok("charge Urtica --dried 50g --pour '250 ml vinegar' --code UR1")

    assert "adds to its keeping is uncertain" in with_glycerin
    assert "% vol" not in vinegar
    assert "keeping" not in command.ok("show UR1")


def test_the_thresholds_are_the_makers(command):
    command.ok(WEAK + " --code HY1")
    command.practice('["keeping"]\n"warn below" = 30\n"caution below" = "35 %"\n')
    rules = {one["rule"]: one for one in command.json("practice")}

    assert "below 30 %: likely to spoil" in command.ok("show HY1")
    assert "to reach 35 %" in command.ok("show HY1")
    assert rules["keeping: warn below"]["in_force"] == "30 %"
    assert rules["keeping: caution below"]["from"] == "practice.toml, line 3"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ('["keeping"]\n"warn below" = 28\n', "above caution below"),
        ('["keeping"]\n"warn below" = 40\n', "0 to 30 % vol"),
        ('["keeping"]\n"caution below" = "much"\n', "0 to 100 % vol"),
        ('["keeping"]\n"caution below" = true\n', "0 to 100 % vol"),
        ('["keeping"]\n"warn above" = 40\n', "there is no such key"),
        ('["keep"]\n"warn below" = 40\n', "keeping"),
    ],
)
def test_thresholds_that_mean_nothing_are_named_with_their_line(command, text, message):
    command.practice(text)
    said = command.refused("practice", code=2)

    assert message in said
    assert "practice.toml, line" in said


def test_the_printed_example_of_a_practice_can_be_read_again(command):
    example = command.ok("practice --example")
    command.practice(example)

    assert command.ok("practice --example") == example


# What a pressing may give

CALENDULA = "charge 'Calendula officinalis' --dried 100g --pour '500 ml 45%' --when 2025-01-01"


def test_ones_own_pressings_move_what_a_jar_may_give(command):
    """Held 1.0 four times; the handbook's 1.45 counts as four: the middle is 1.225 ml per g."""
    command.ok(CALENDULA + " --code CA --count 5")
    before = command.ok("show CA05")
    for number in range(1, 5):
        command.ok(f"press CA0{number} 400ml --with hand --when 2025-02-01")
    found = command.json("show CA05")

    assert "310 to 400 ml by hand (handbook)" in before
    assert "4 pressings of your own" in command.ok("show CA05")
    assert found["possible_from_pressings"] == 4
    hand = found["possible_ml"]["from"]
    # Spread of the handbook 0.45 / (2.132 × √1.25) = 0.1888; variance of the next pressing
    # (4 × 0.1888² + 2 × 0.45²) / 8 × (1 + 1/8) = 0.0770; its root times t of 8 degrees, 1.860,
    # is 0.516 (NIST e-Handbook 1.3.6.7.2, from memory).
    assert hand == pytest.approx(500 - 100 * (1.225 + 0.516), abs=0.1)
    assert found["possible_claim_pct"] == 90
    assert "in 9 of 10 pressings" in command.ok("show CA05")


def test_a_day_in_the_past_knows_nothing_of_later_pressings(command):
    command.ok(CALENDULA + " --code CA --count 2")
    command.ok("press CA01 400ml --with hand --when 2025-02-01")

    assert "of your own" in command.ok("show CA02 --on 2025-02-01")
    assert "of your own" not in command.ok("show CA02 --on 2025-01-31")


def test_an_odd_yield_asks_ml_or_oz_and_which_jar(command):
    command.ok(CALENDULA + " --code CA1")
    command.ok("charge 'Melissa officinalis' --dried 4g --pour '20 ml 45%' --code ME1")
    said = command.ok("press CA1 13ml --with hand --when 2025-02-01")

    assert "310 to 400 ml by hand (handbook) would be usual" in said
    assert "ml or oz (the other way it is 384 ml)?" in said
    assert "Which jar? It would be usual for ME1." in said


def test_a_usual_yield_asks_nothing(command):
    command.ok(CALENDULA + " --code CA1")

    assert "?" not in command.ok("press CA1 370ml --with hand --when 2025-02-01")


def test_little_from_fresh_herb_asks_too(command):
    command.ok(WEAK + " --code HY1 --when 2025-01-01")

    assert "ml or oz" in command.ok("press HY1 12ml --with hand --when 2025-02-01")
