"""Pours as the command takes them: what is asked about, refused, and answered."""

import json
from typing import cast

import pytest

from tests.command import Command
from tests.pours.table import rows
from tracker.cli.given.pour_named import Book, named_in

CHARGE = "charge Urtica --dried 100g --when 2025-03-03 --pour"
ASKED, REFUSED = rows("asked"), rows("refused")


@pytest.fixture(scope="module")
def house(tmp_path_factory):
    """A book with one jar in it for each way of counting, which nothing here adds to."""
    found = {}
    for units in ("us", "british"):
        command = Command(tmp_path_factory.mktemp(units))
        command.practice(f'units = "{units}"\n')
        command.ok(
            "charge Urtica --dried 100g --code UR1 --when 2025-01-01", "--pour", "500 ml 45%"
        )
        found[units] = command
    return found


@pytest.mark.parametrize("row", ASKED, ids=lambda row: f"{row.text} {row.units}")
def test_without_a_terminal_what_is_ambiguous_is_misused_and_its_readings_are_named(house, row):
    command = house[row.units]
    for line in (CHARGE, "top-up UR1 --pour", "strength --json"):
        message = command.refused(line, row.text, code=2)

        assert all(one in message for one in row.readings), line


@pytest.mark.parametrize("row", ASKED, ids=lambda row: f"{row.text} {row.units}")
def test_a_script_gets_the_readings_as_json_on_the_last_line(house, row):
    message = house[row.units].refused("strength --json", row.text, code=2)
    answer = json.loads(message.splitlines()[-1])

    assert [one["written"] for one in answer["readings"]] == row.readings
    assert all(one["comes_to"] for one in answer["readings"])


@pytest.mark.parametrize("row", REFUSED, ids=lambda row: f"{row.text[:60]!r} {row.units}")
def test_what_is_no_pour_is_misused_and_nothing_is_recorded(house, row):
    command = house[row.units]
    for line in (CHARGE, "top-up UR1 --pour"):
        message = command.refused(line, row.text, code=2)

        assert "to do:" in message


def test_a_text_too_long_for_a_pour_is_looked_for_nowhere_in_the_book():
    """Each of its words could begin the number of a lot: that took the square of its length."""
    no_book = cast("Book", None)

    assert named_in("a " * 10_000, no_book, "us") is None


def test_at_a_terminal_the_readings_are_offered_by_number(command):
    answer = command.at_terminal(CHARGE, "500 ml vodka 80", typed="7\n2\n")
    (charged,) = command.lines()
    (pour,) = charged["data"]["pours"]

    assert answer.code == 0
    assert "500 ml vodka 80: is 80 its strength, in % or proof?" in answer.out
    assert "1  500 ml 80% vodka (500 ml 80 % vol vodka)" in answer.out
    assert "2  500 ml 80 proof vodka (500 ml 40 % vol vodka)" in answer.out
    assert answer.out.count("Which, 1 to 2, or none") == 2
    assert (pour["ethanol_pct_vol"], pour["written"]) == (40.0, "500 ml 80 proof vodka")


def test_at_a_terminal_none_of_the_readings_records_nothing(command):
    answer = command.at_terminal(CHARGE, "500 ml vodka 80", typed="none\n")

    assert answer.code == 2
    assert command.lines() == []


def test_a_reading_is_asked_about_until_there_is_one(command):
    """The amount may be two things, and then the strength."""
    answer = command.at_terminal(CHARGE, "1,000 ml vodka 80", typed="1\n2\n")
    (charged,) = command.lines()
    (pour,) = charged["data"]["pours"]

    assert answer.code == 0
    assert (pour["volume_ml"], pour["ethanol_pct_vol"]) == (1000.0, 40.0)


def test_a_pour_typed_in_answer_is_asked_about_as_well(command):
    typed = "-\n100 gr sugar\n1\n" + "\n" * 7
    answer = command.at_terminal("charge Urtica --dried 100g --when 2025-03-03", typed=typed)
    (charged,) = command.lines()
    (pour,) = charged["data"]["pours"]

    assert answer.code == 0
    assert (pour["liquid"], pour["volume_ml"]) == ("sugar", pytest.approx(62.0))


def test_strength_asks_at_a_terminal_too(command):
    answer = command.at_terminal("strength", "500 ml 80% proof", typed="2\n")

    assert answer.code == 0
    assert "40.0" in answer.out


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("24 fl oz 190 proof", "710 ml 95 % vol (24 fl oz 190 proof)"),
        ("500 ml vodka 40%", "500 ml 40 % vol vodka"),
        ("500 ml 100% w/w ethanol", "500 ml 100 % vol ethanol (500 ml 100% w/w ethanol)"),
        ("500 ml 100 British proof", "500 ml 57.14 % vol (500 ml 100 British proof)"),
        ("650 g sugar", "650 g sugar"),
        ("150 ml glycerin 85%", "150 ml 85 % by mass glycerin"),
        ("500 ml red wine", "500 ml red wine of unknown strength"),
    ],
)
def test_what_was_understood_is_answered_in_millilitres_and_percent_by_volume(command, text, said):
    assert said in command.ok(CHARGE, text)
