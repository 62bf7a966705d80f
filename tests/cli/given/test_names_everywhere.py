"""Every verb that takes a code takes a name: a table that a new verb has to stand in."""

import pytest

from tracker.cli.completion.what_verbs_take import ARGUMENTS

DAY = "--when 2025-03-03"
POUR = '--pour "500 ml 45%"'

# What in `ARGUMENTS` stands for a thing of the book.
_NO_THING = {"herb", "plant", "file", "switch", "shell"}

# Behind the verb and the name: what else it needs to be read.
MORE = {
    "shake": "",
    "look": "",
    "note": "fine",
    "later": "3d --what ready",
    "top-up": '--pour "20 ml 45%"',
    "add-herb": "--dried 20g",
    "move": "--to cellar",
    "draw": "50ml",
    "recharge": "--dried 20g",
    "steep-again": '--pour "200 ml 45%"',
    "split": "--into 2",
    "join": "",
    "press": "300ml",
    "filter": "300ml",
    "bottle": "1x50ml",
    "dilute": '--pour "20 ml water"',
    "dispense": "20ml --for C1",
    "refill": "",
    "count": "20ml",
    "discard": "--why spilt",
    "restore": "--why found",
    "hold": "--why smell",
    "release": "--why fine",
    "correct": "",
    "dry": "20g",
    "recall": "--why called",
    "show": "",
    "history": "",
    "trace": "",
    "timeline": "",
    "strength": "",
    "label": "",
    "handout": "",
    "record": "",
}


@pytest.fixture
def shelf(command):
    command.ok(f'charge "Calendula officinalis" --dried 100g {POUR} {DAY}')
    command.ok(f'charge "Calendula officinalis" --dried 90g {POUR} {DAY}')
    command.ok(f"gather nettle --part leaf --fresh 200g {DAY}")
    command.ok(f"gather nettle --part leaf --fresh 300g {DAY}")
    return command


def test_every_verb_that_takes_a_thing_stands_in_the_table():
    assert set(MORE) == {verb for verb, kinds in ARGUMENTS.items() if kinds[0] not in _NO_THING}


def _answers(shelf, herb: str, jar: str) -> dict[str, str]:
    return {
        verb: shelf.run(f"{verb} {herb if ARGUMENTS[verb][0] == 'lot' else jar} {more}").err
        for verb, more in MORE.items()
    }


def test_a_name_that_is_near_is_answered(shelf):
    answers = _answers(shelf, "nettel", "calendla")

    assert {verb: err for verb, err in answers.items() if "did you mean" not in err} == {}


def test_what_was_named_last_has_to_be_there(shelf):
    for file in shelf.state.rglob("*"):
        if file.is_file():
            file.unlink()
    answers = _answers(shelf, ".", ".")

    assert {verb: err for verb, err in answers.items() if "Nothing was named" not in err} == {}


def test_of_several_a_script_gets_the_list_and_nothing_is_recorded(shelf):
    before = shelf.lines()
    answers = _answers(shelf, "nettle", "calendula")

    codes = {verb: "LOT-25-02" if ARGUMENTS[verb][0] == "lot" else "CAOF-25-02" for verb in MORE}
    assert {verb: err for verb, err in answers.items() if codes[verb] not in err} == {}
    assert shelf.lines() == before
