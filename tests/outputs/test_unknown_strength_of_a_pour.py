"""A pour whose strength nobody knows: every output says so, and none of them says 0."""

import csv
import io
import json

import pytest

from tests.command import Command

JAR, EXTRACT = "UR1", "UR1A"


@pytest.fixture(scope="module")
def house(tmp_path_factory):
    """A jar in vodka of no known strength, topped up with 60 %, pressed and bottled."""
    command = Command(tmp_path_factory.mktemp("house"))
    charge = f"charge Urtica --dried 100g --code {JAR} --when 2025-01-01 --least 28d"
    command.ok(charge, "--pour", "500 ml vodka")
    command.ok(f"top-up {JAR} --when 2025-01-02", "--pour", "50 ml 60%")
    command.ok(f"press {JAR} 420ml --with hand --when 2025-03-01")
    command.ok(f"bottle {EXTRACT} 2x50ml --when 2025-03-02")
    command.ok("buy", "700 ml port", "--when", "2025-01-01")
    return command


def test_the_answer_says_that_it_is_not_known(command):
    answer = command.run(
        "charge Urtica --dried 100g --when 2025-01-01", "--pour", "500 ml red wine"
    )

    assert answer.code == 0
    assert "500 ml red wine of unknown strength" in answer.out
    assert "Unknown: the strength of the red wine is not known" in answer.out
    assert 'write it: "500 ml red wine 12%"' in answer.err
    (line,) = command.lines()
    assert line["data"]["pours"][0]["ethanol_pct_vol"] is None


@pytest.mark.parametrize("code", [JAR, EXTRACT, f"{EXTRACT}/1"])
def test_show_has_a_dash_and_a_reason_and_null(house, code):
    fields = house.json(f"show {code}")
    text = house.ok(f"show {code}")

    assert fields["strength_pct_vol"] is None
    assert fields["strength_simple_pct_vol"] is None
    assert fields["strength_unknown_of"] == ["vodka"]
    assert "– (how strong the vodka was is not known)" in text
    assert "0 % vol vodka" not in text


@pytest.mark.parametrize("verb", ["shelf --done", "stock"])
def test_lists_have_a_dash_and_csv_an_empty_cell(house, verb):
    (row, *_) = list(csv.DictReader(io.StringIO(house.ok(f"{verb} --csv"))))

    assert row["strength_pct_vol"] == ""
    assert "0.0" not in house.ok(verb)


def test_strength_of_the_jar_says_whose_is_not_known(house):
    fields = house.json(f"strength {JAR}")

    assert fields["strength_pct_vol"] is None
    assert fields["simple_strength_pct_vol"] is None
    assert fields["simple_volume_ml"] == pytest.approx(550, abs=15)  # and the herb's water
    assert fields["why"] == "the strength of vodka is not known"
    assert "– % vol" in house.ok(f"strength {JAR}")


def test_a_mixture_of_pours_says_whose_is_not_known(command):
    fields = command.json("strength", "500 ml port", "500 ml 45%")

    assert fields["strength_pct_vol"] is None
    assert fields["why"] == "the strength of port is not known"


def test_nothing_is_mixed_from_it(command):
    assert "how strong is it?" in command.refused(
        "mix --to 40% --volume 1l --from water --from", "1 l port", code=2
    )


def test_label_record_and_history_show_it(house, tmp_path):
    record = house.json(f"record {JAR}")
    poured = [one["what"] for one in record["components"] if one["unit"] == "ml"]

    assert poured[0] == "vodka of unknown strength"
    assert "vodka of unknown strength" in house.told(f"history {JAR}")
    house.ok(f"label {EXTRACT} --to", str(tmp_path / "label.pdf"))
    (labelled,) = [one for one in house.lines() if one["type"].endswith("labelled")]
    assert "vodka of unknown strength" in " ".join(labelled["data"]["lines"])


def test_its_fire_is_warned_of_and_that_of_a_wine_is_not(house, command):
    cautions = house.json(f"show {JAR}")["cautions"]

    assert any("how strong the vodka was is not known" in str(one) for one in cautions)
    command.ok("charge Urtica --dried 100g --code W1", "--pour", "500 ml red wine")
    assert not [one for one in command.json("show W1")["cautions"] if "fire" in str(one)]


def test_what_can_be_pressed_is_bounded_all_the_same(command):
    command.ok(
        "charge Urtica --dried 100g --code W1 --least 1d --when 2025-01-01",
        "--pour",
        "500 ml red wine",
    )

    assert "more than" in command.refused("press W1 600ml --when 2025-03-01")
    command.ok("press W1 400ml --when 2025-03-01")


def test_a_lot_of_it_is_of_no_known_strength_and_so_is_what_is_poured_from_it(house):
    (lot,) = house.json("lots")
    assert lot["what"] == "port of unknown strength"

    house.ok("charge Urtica --dried 50g --code UR2",
             "--pour", f"250 ml {lot['code']}")  # fmt: skip
    assert house.json("show UR2")["strength_unknown_of"] == ["port"]


def test_buying_it_says_that_its_strength_is_not_known(command):
    answer = command.run("buy", "700 ml vodka")

    assert answer.out == "vodka of unknown strength LOT-26-01 bought: 700 ml.\n"
    assert "The strength of the vodka is not known" in answer.err


def test_a_lot_of_glycerin_with_water_keeps_its_water(command):
    command.ok("buy", "1 l glycerin 85%")
    (lot,) = command.json("lots")
    command.ok("charge Urtica --dried 50g --code G1", "--pour", f"250 ml {lot['code']}")
    pour = command.lines()[-1]["data"]["pours"][0]

    assert lot["what"] == "85 % by mass glycerin"
    assert (pour["liquid"], pour["glycerin_pct_mass"]) == ("glycerin", 85.0)
    # 250 ml of 1222 kg/m3 hold 260 g of glycerin, 206 ml; Lange's Handbook, table 5.13.
    assert command.json("strength", "250 ml glycerin 85%")["glycerin_pct_vol"] == pytest.approx(
        82.4, abs=0.1
    )


def test_correcting_a_pour_states_its_strength(command):
    command.ok("charge Urtica --dried 100g --code W1", "--pour", "500 ml port")
    number = command.number("charged")
    command.ok(f"correct {number} --why label", "--set", "pour=500 ml port 19%")

    assert command.json("show W1")["strength_unknown_of"] == []
    assert command.json("show W1")["strength_pct_vol"] is not None


def test_a_line_of_a_page_is_refused_with_its_readings(command, tmp_path):
    page = tmp_path / "page.txt"
    page.write_text('charge Urtica --dried 100g --pour "500 ml vodka 80"\n')
    message = command.refused("enter --yes", str(page), code=2)

    assert "500 ml 80 proof vodka" in message
    assert json.dumps("line 1")[1:-1] in message


def test_what_to_write_for_a_word_that_is_not_known_can_be_read(command):
    answer = command.run("charge Urtica --dried 100g --code M1", "--pour", "500 ml moonmilk")
    assert 'write it: "500 ml moonmilk spirit 40%"' in answer.err

    command.ok(f"correct {command.number('charged')} --why label",
               "--set", "pour=500 ml moonmilk spirit 40%")  # fmt: skip
    assert command.json("show M1")["strength_unknown_of"] == []


@pytest.mark.parametrize("pour", ["tea", "salt water 5%"])
def test_of_what_holds_no_alcohol_it_is_the_keeping_that_is_not_known(command, pour):
    """Its strength is known: it is none."""
    said = command.ok("charge Urtica --dried 100g --code T1", "--pour", f"500 ml {pour}")

    assert f"nothing is known of how {pour.replace('5%', '5 %')} keeps" in said
    assert "strength is not known" not in said + command.ok("show T1")


def test_an_answer_does_not_say_an_amount_twice(command):
    said = command.ok("charge Urtica --dried 100g", "--pour", "500 ml 45%", "--pour", "100 g sugar")

    assert said.count("100 g sugar") == 1


def test_an_amount_of_nothing_named_is_quoted_as_it_was_written(command):
    refused = command.refused("charge Urtica --dried 100g --pour", "100 ml", code=2)

    assert "'100 ml': of what?" in refused
