"""`--like`: another jar as an earlier one was charged or pressed, but for what is given."""

import pytest

from tests.command import Command

FIRST = (
    'charge "Melissa officinalis" --part leaf --dried "about 100 g" --water 9% '
    '--pour "500 ml 45% @ 10.00" --pour "20 ml water" --jar 750ml --lid metal --barrier parchment '
    '--place "shelf 2" --belongs P03 --least 40d --longest 90d --shake "every 2d 6d, weekly" '
    '--ratio 1:5 --finished --way maceration --note "smells of lemon" --when 2025-03-03'
)
# What is of one jar alone, and what was paid for what went into it.
OWN = {"code", "note", "herb_paid"}


@pytest.fixture
def shelf(command: Command) -> Command:
    command.ok(FIRST)
    return command


def charges(command: Command) -> list[dict[str, object]]:
    return [one["data"] for one in command.lines() if one["type"] == "charged"]


def without(own: set[str], data: dict[str, object]) -> dict[str, object]:
    return {name: value for name, value in data.items() if name not in own}


def test_a_charge_is_as_the_earlier_one_but_for_its_code_day_note_and_price(shelf):
    shelf.ok("charge --like MEOF-25-01 --sure")
    first, again = charges(shelf)
    (spirit, _) = first["pours"]

    assert spirit.pop("paid") == "10.00"
    assert without(OWN, again) == without(OWN, first)
    assert again["code"] != first["code"]
    assert "note" not in again


def test_what_is_given_goes_before_what_was(shelf):
    other = "--fresh 300g --pour '600 ml 60%' --jar 1l --place loft --longest none"
    shelf.ok(f"charge --like MEOF-25-01 {other}")
    _, again = charges(shelf)

    assert (again["form"], again["herb_g"], again["place"]) == ("fresh", 300, "loft")
    assert [one["ethanol_pct_vol"] for one in again["pours"]] == [60]
    assert again["barrier"] == "parchment"
    assert "herb_water_pct_mass" not in again  # that was of dried herb
    assert "longest" not in again


def test_another_herb_takes_neither_the_name_nor_the_part_nor_the_lot(command):
    command.ok("buy 'Melissa officinalis' --part leaf --dried 500g --when 2025-03-01")
    command.ok("charge LOT-25-01 --dried 100g --pour '500 ml 45%' --when 2025-03-03")
    command.ok("charge 'Urtica dioica' --like MEOF-25-01")
    _, nettle = charges(command)

    assert (nettle["herb"], nettle["common"]) == ("Urtica dioica", "stinging nettle")
    assert "herb_lot" not in nettle
    assert "part" not in nettle


def test_a_lot_is_taken_as_long_as_there_is_enough_of_it(command):
    command.ok("buy 'Melissa officinalis' --part leaf --dried 250g --when 2025-03-01")
    command.ok("buy '1 l 45% vodka' --when 2025-03-01")
    command.ok("charge LOT-25-01 --dried 100g --pour '400 ml LOT-25-02' --when 2025-03-03")
    command.ok("charge --like MEOF-25-01 --when 2025-03-04")
    said = command.run("charge --like MEOF-25-01 --when 2025-03-05")
    first, second, third = charges(command)

    assert said.code == 0, said.err
    assert second["herb_lot"] == first["herb_lot"]
    assert second["pours"][0]["lot"] == first["pours"][0]["lot"]
    assert "LOT-25-01 does not have enough left" in said.err
    assert "LOT-25-02 does not have enough left" in said.err
    assert "herb_lot" not in third
    assert (third["herb"], third["part"]) == ("Melissa officinalis", "leaf")
    assert "lot" not in third["pours"][0]
    assert (third["pours"][0]["ethanol_pct_vol"], third["pours"][0]["name"]) == (45, "vodka")


def test_a_corrected_charge_is_repeated_as_it_is_now(shelf):
    shelf.ok(f"correct {shelf.number('charged')} --set place=loft --why slip")
    shelf.ok("charge --like MEOF-25-01")

    assert charges(shelf)[-1]["place"] == "loft"


def test_in_a_page_it_works_and_knows_the_lines_before(shelf, tmp_path):
    page = tmp_path / "page"
    page.write_text("charge --like MEOF-25-01\nmove MEOF-26 --to sill\n")
    shelf.ok(f"enter {page} --when 2026-02-01")

    assert [one["place"] for one in charges(shelf)] == ["shelf 2", "shelf 2"]


def test_what_was_not_charged_cannot_be_repeated(shelf):
    shelf.ok("found nettle --place loft --when 2025-03-03")
    shelf.ok("press MEOF-25-01 400ml --when 2025-06-10")

    assert "it was found, so there is no charge to repeat" in shelf.refused(
        "charge --like URDI-25-01"
    )
    assert "MEOF-25-01A" in shelf.refused("charge --like MEOF-25-01A")


def test_a_poison_is_asked_about_as_in_any_charge(command):
    command.ok("charge 'Digitalis purpurea' --dried 1g --pour '10 ml 45%' --when 2025-03-03 --sure")

    assert "poison" in command.refused("charge --like DIPU-25-01")


def test_a_pressing_takes_how_marc_and_keeps(shelf):
    shelf.ok("press MEOF-25-01 400ml --with cloth --marc kept --keeps '8 months' --when 2025-06-10")
    shelf.ok("charge --like MEOF-25-01 --when 2025-03-04")
    shelf.ok("press MEOF-25-02 380ml --like MEOF-25-01 --marc composted --when 2025-06-11")
    pressed = shelf.lines()[-1]["data"]

    assert (pressed["how"], pressed["marc"], pressed["keeps"]) == ("cloth", "composted", "P8M")


def test_a_jar_that_was_not_pressed_says_so(shelf):
    shelf.ok("charge --like MEOF-25-01 --when 2025-03-04")

    assert "it was not pressed" in shelf.refused("press MEOF-25-02 380ml --like MEOF-25-01")


@pytest.mark.thorough
def test_every_charge_of_the_demo_book_can_be_repeated(command):
    """Every way of writing a pour, a weight or a time has to be read as what it was."""
    command.ok(f"demo {command.book}")
    changed = {one["data"]["event"] for one in command.lines() if "event" in one["data"]}
    before = [
        one["data"]
        for one in command.lines()
        if one["type"] == "charged" and one["id"] not in changed
    ]
    old = {one["code"] for one in charges(command)}
    for one in before:
        command.ok(f"charge --like {one['code']} --sure --code A{one['code']}")
    again = {str(one["code"])[1:]: one for one in charges(command) if one["code"] not in old}

    assert len(again) == len(before) > 90
    lots = {"herb_lot", "lots"}
    for one in before:
        alike = without(OWN | lots | {"pours"}, again[one["code"]])
        assert alike == without(OWN | lots | {"pours"}, one)
        assert [_poured(each) for each in again[one["code"]]["pours"]] == [
            _poured(each) for each in one["pours"]
        ]


def _poured(pour: dict[str, object]) -> list[object]:
    names = ("liquid", "volume_ml", "ethanol_pct_vol", "glycerin_pct_mass", "name", "known")
    return [pour.get(name) for name in names]
