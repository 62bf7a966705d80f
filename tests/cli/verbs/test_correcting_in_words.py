"""Corrections take the words of the verbs, and every output says what they changed."""

import pytest

from tests.command import Command

HERB = "Calendula officinalis"
LINES = (
    'buy "Calendula officinalis" --dried 500g --their-lot K12 --when 2025-05-01',
    'buy "700 ml wine" --when 2025-05-02',
    'charge "Calendula officinalis" --dried 100g --pour "500 ml 45%" --least 28d --lot "Batch 7" '
    "--ratio 1:5 --finished --way percolation --belongs P03 --filled 620ml --when 2025-06-01",
    'found "Melissa officinalis" --charged 2023-summer --code OLD --when 2025-06-01',
    "press CAOF-25-01 400ml --when 2025-07-01",
    "press CAOF-25-01 --again 20ml --when 2025-07-02",
    "count LOT-25-01 480g --when 2025-07-01",
    "move OLD --belongs P05 --when 2025-07-02",
)


@pytest.fixture
def house(command: Command) -> Command:
    for line in LINES:
        command.ok(line)
    return command


SAID = [
    ("charged", "belongs=P07", "belongs to P03 → P07."),
    ("charged", "belongs=none", "belongs to P03 → not said."),
    ("charged", "way=maceration", "way percolation → maceration."),
    ("charged", "lot=Batch 8", "lot Batch 7 → Batch 8."),
    ("charged", "filled=630ml", "filled 620 ml → 630 ml."),
    ("charged", "ratio=1:6", "ratio 1:5 → 1:6."),
    ("charged", "finished=no", "by finished volume yes → no."),
    ("charged", "jar=1l", "jar not said → 1000 ml."),
    ("bought", "strength=12%", "strength not known → 12 %."),
    ("bought_herb", "their-lot=K13", "their lot K12 → K13."),
    ("bought_herb", "from=market", "from not said → market."),
    ("found", "charged=none", "charged summer 2023 → not said."),
    ("pressed_again", "with=hand", "how not said → hand."),
    ("counted", "weight=470g", "weight 480 g → 470 g."),
    ("moved", "belongs=none", "belongs to P05 → nobody."),
]


@pytest.mark.parametrize(("kind", "change", "said"), SAID)
def test_a_word_of_the_verb_corrects_what_it_set(house, kind, change, said):
    number = house.number(kind)
    out = house.ok(f"correct {number} --why misread", "--set", change)

    assert said in out
    house.ok(f"strike {house.event('corrected')} --why slip")
    assert house.lines()[-1]["type"] == "struck"
    assert "which was struck: misread" in house.told(f"history {_code(kind)}")


def _code(kind: str) -> str:
    codes = {"bought": "LOT-25-02", "bought_herb": "LOT-25-01", "counted": "LOT-25-01"}
    return codes.get(kind, "OLD" if kind in ("found", "moved") else "CAOF-25-01")


def test_a_lot_of_the_book_takes_the_place_of_a_name(house):
    house.ok(f"correct {house.number('charged')} --why misread --set lot=K12")

    assert house.json("lots")[0]["used"] == 100.0
    assert house.json("show CAOF-25-01")["lots"] == []


def test_a_corrected_herb_is_called_by_its_own_name(house):
    """Lists lead with the common name: that of the other plant would hide what is in the jar."""
    house.ok(f"correct {house.number('charged')} --why swapped --set herb=Melissa")
    jar = house.json("show CAOF-25-01")

    assert (jar["herb"], jar["common"]) == ("Melissa officinalis", "lemon balm")
    assert house.ok("shelf --on 2025-06-02").count("lemon balm") == 2
    assert "marigold" not in house.ok("shelf --on 2025-06-02")


@pytest.mark.parametrize(
    "order", [("herb=Melissa", "common=balm"), ("common=balm", "herb=Melissa")]
)
def test_a_name_given_beside_the_herb_stands(house, order):
    sets = [word for one in order for word in ("--set", one)]
    house.ok(f"correct {house.number('charged')} --why swapped", *sets)

    assert house.json("show CAOF-25-01")["common"] == "balm"


def test_the_herb_that_is_there_already_is_no_correction(house):
    err = house.refused(f"correct {house.number('charged')} --why x", "--set", f"herb={HERB}")

    assert "that is what it says already" in err


def test_a_strength_is_corrected_to_not_known(house):
    house.ok(f"correct {house.number('bought')} --why misread --set strength=12%")
    out = house.ok(f"correct {house.number('bought')} --why misread --set strength=unknown")

    assert "strength 12 % → not known." in out


def test_a_word_that_a_field_cannot_be_is_refused_with_those_it_can(house):
    err = house.refused(f"correct {house.number('charged')} --why x --set way=boiled", code=2)

    assert "write one of maceration, percolation, double, simmered." in err


def test_each_correction_in_the_history_goes_on_from_the_one_before(house):
    house.ok(f"correct {house.number('charged')} --why misread --set way=maceration")
    house.ok(f"correct {house.number('charged')} --why misread --set filled=630ml")
    now = house.told("history CAOF-25-01").split("now:")[1:]

    assert "(percolation)" not in now[1]
    assert "filled to 630 ml" in now[1]


def test_a_correction_of_pours_is_in_words(house):
    out = house.ok(f"correct {house.number('charged')} --why x", "--set", "pours=500 ml 60%")
    history = house.told("history CAOF-25-01")

    assert "pour 500 ml 45 % vol → 500 ml 60 % vol" in out
    assert "now: charged 100 g Calendula officinalis, dried in 500 ml 60 % vol" in history
    assert "{" not in history


def test_what_is_there_may_be_said_beside_what_is_wrong(house):
    """At a terminal a question that was not meant is answered with what it shows."""
    number = house.number("charged")
    out = house.ok(f"correct {number} --why misread", "--set", "jar=not said", "--set", "dried=90g")

    assert "charged: dried weight 100 g → 90 g." in out
    assert "jar_ml" not in house.json("show CAOF-25-01")


def test_another_code_for_dried_herb_leaves_it_under_the_lot_it_was(command):
    command.ok('gather "Calendula officinalis" --fresh 500g --when 2025-05-01')
    command.ok("dry LOT-25-01 --of 500g 90g --when 2025-05-08")
    command.ok(f"correct {command.number('dried')} --why misread --set code=LOT-25-09")

    assert {one["code"] for one in command.json("lots --all")} == {"LOT-25-01", "LOT-25-09"}
