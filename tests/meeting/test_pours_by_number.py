"""A supplier's number or a code of the maker's own as a pour: never taken for it in silence.

Every plant is real; the lots, jars and amounts are invented.
"""

import json

import pytest

from tests.command import Command

TOPUP = "top-up J2 --when 2025-03-02 --pour"


@pytest.fixture
def shelf(command: Command) -> Command:
    """Spirit of several numbers, pressed jars of the maker's own codes, J2 with its herb in."""
    command.practice('zone = "Europe/Berlin"\n')
    for strength, number in (("40%", "40"), ("95%", "190"), ("50%", "VK 12"), ("53%", "vodka 80"),
                             ("54%", "40%"), ("55%", "MOON-7")):  # fmt: skip
        command.ok(f'buy "700 ml {strength}" --when 2025-01-01 --their-lot', number)
    for code in ("J9-1", "7B", "40", "MOON-7", "J2"):
        charge = f"charge Urtica --dried 100g --code {code} --least 28d --when 2025-01-01"
        command.ok(charge, "--pour", "500 ml 45%")
        if code != "J2":
            command.ok(f"press {code} 400ml --when 2025-03-01")
    return command


def poured(shelf: Command) -> dict:
    return shelf.lines()[-1]["data"]["pours"][-1]


@pytest.mark.parametrize(
    ("pour", "readings"),
    [
        ("50 ml 40", ["50 ml 40%", "50 ml 40 proof", "50 ml LOT-25-01", "50 ml 40A"]),
        ("20 fl oz 190", ["20 fl oz 190 proof", "20 fl oz LOT-25-02"]),
        ("500 ml vodka 80", ["500 ml 80% vodka", "500 ml 80 proof vodka", "500 ml LOT-25-04"]),
        ("90 ml MOON-7", ["90 ml LOT-25-06", "90 ml MOON-7A"]),
    ],
)
def test_what_may_be_a_strength_and_a_number_is_asked_about_with_both(shelf, pour, readings):
    for line in (f"{TOPUP}", "strength --json"):
        message = shelf.refused(f"{line}", pour, code=2)
        assert all(one in message for one in readings)
    answer = json.loads(message.splitlines()[-1])
    assert [one["written"] for one in answer["readings"]] == readings

    for number in range(1, len(readings) + 1):
        chosen = shelf.at_terminal(TOPUP, pour, typed=f"{number}\n")
        assert chosen.code == 0, chosen.out
        assert poured(shelf)["written"] == readings[number - 1]


def test_what_reads_as_a_liquid_is_that_liquid_whatever_the_number_of_a_lot(shelf):
    shelf.ok(TOPUP, "500 ml 40%")

    assert (poured(shelf).get("lot"), poured(shelf)["ethanol_pct_vol"]) == (None, 40)


@pytest.mark.parametrize(
    "pour", ["200 ml VK 12", "200ml vk 12", "200 ml of VK 12", "200 ml lot VK12", "0.2 l VK 12"]
)
def test_a_number_that_is_no_strength_is_its_lot_and_the_answer_names_it(shelf, pour):
    answer = shelf.run(TOPUP, pour)

    assert answer.code == 0
    assert "Poured out of LOT-25-03, 50 % vol spirit." in answer.err
    assert (poured(shelf)["volume_ml"], poured(shelf)["ethanol_pct_vol"]) == (200, 50)
    assert [one["left"] for one in shelf.json("lots") if one["code"] == "LOT-25-03"] == [500]


@pytest.mark.parametrize(
    ("pour", "source"),
    [("50 ml J9-1A", "J9-1A"), ("50 ml of j9-1", "J9-1A"), ("50 ml 7BA", "7BA"),
     ("50 ml 40A", "40A")],
)  # fmt: skip
def test_a_code_of_the_makers_own_may_hold_a_number(shelf, pour, source):
    shelf.ok(TOPUP, pour)

    assert poured(shelf)["name"] == source
    assert shelf.json(f"show {source}")["volume_ml"] == 350


def test_a_number_that_is_also_the_code_of_a_jar_with_its_herb_in_stays_a_strength(command):
    command.ok("charge Urtica --dried 100g --code 40 --when 2025-01-01", "--pour", "500 ml 45%")

    message = command.refused("top-up 40 --when 2025-01-02 --pour", "20 ml 40", code=2)

    assert "20 ml 40% (20 ml 40 % vol spirit); 20 ml 40 proof (20 ml 20 % vol spirit)." in message


@pytest.mark.parametrize("source", ["LOT-25-03", "VK 12", "J9-1A"])
def test_an_amount_that_may_be_two_is_asked_about_beside_a_code_too(shelf, source):
    refused = shelf.refused(TOPUP, f"1.000 ml {source}", code=2)
    answer = shelf.at_terminal(TOPUP, f"1.000 ml {source}", typed="2\n")

    assert "does 1.000 mean thousands or decimals?" in refused
    assert answer.code == 0, answer.out
    assert poured(shelf)["volume_ml"] == 1


def test_strength_and_mix_know_lots_and_codes_as_pours_do(shelf):
    """40 % and 100 ml of it; 100 ml of 50 %: 200 ml simply added are 45 %."""
    mixed = shelf.json("strength", "100 ml LOT-25-01", "100 ml VK 12")
    assert mixed["simple_strength_pct_vol"] == 45
    assert shelf.json("strength", "200 ml 7BA") == shelf.json("strength", "200 ml J9-1A")
    assert "of a lot it has to be said how much" in shelf.refused("strength LOT-25-01")

    for source in ("LOT-25-03", "VK 12"):
        parts = shelf.json("mix --to 30% --from water --from", source)["parts"]
        assert 700 in [one["ml"] for one in parts]  # all that is left
    for source in ("7BA", "7B", "J9-1A"):
        parts = shelf.json("mix --to 30% --from water --from", source)["parts"]
        assert 400 in [one["ml"] for one in parts]
    assert "more than the 700 ml left" in shelf.refused(
        "mix --to 30% --from water --from", "800 ml VK 12"
    )


def test_a_lot_of_sugar_is_poured_and_counted_by_weight(command):
    """620 ml to the kilogram: 1.613 g/ml in solution; see core/menstruum/liquids.py."""
    command.ok('buy "1 kg sugar" --when 2025-01-01')
    command.ok("charge Urtica --dried 100g --code J1 --when 2025-01-01",
               "--pour", "500 ml 45%", "--pour", "250 g LOT-25-01")  # fmt: skip

    pour = command.lines()[-1]["data"]["pours"][1]
    assert (pour["liquid"], pour["volume_ml"], pour["known"]) == ("sugar", 155, "weighed")
    command.ok("count LOT-25-01 700g --when 2025-01-02")
    (lot,) = command.json("lots")
    assert lot["left"] == pytest.approx(434)
