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


# Options that take a thing, in a line with `{}` in its place: a jar or what came of it, or a lot.
OPTIONS = {
    "charge --like": f"charge calendula --dried 50g {POUR} --like '{{}}'",
    "press --like": "press CAOF-25-01 300ml --like '{}'",
    "refill --from": "refill CAOF-25-03A/1 --from '{}'",
    "blend --part": "blend --part '10 ml CAOF-25-03A' --part '10 ml {}'",
    "add-herb --lot": "add-herb CAOF-25-01 --dried 50g --lot '{}'",
    "recharge --lot": "recharge CAOF-25-03A --dried 50g --lot '{}'",
}
OF_LOTS = {option for option in OPTIONS if option.endswith("--lot")}
# Of what is no code and no name of the book, a name of the maker's own is kept.
CHARGED = f"charge nettle --dried 50g {POUR} --lot '{{}}'"


@pytest.fixture
def stock(shelf):
    shelf.ok(f'charge "Calendula officinalis" --dried 80g {POUR} {DAY}')
    shelf.ok(f'charge "Calendula officinalis" --dried 70g {POUR} {DAY}')
    shelf.ok("press CAOF-25-03 400ml --when 2025-04-03")
    shelf.ok("press CAOF-25-04 400ml --when 2025-04-03")
    shelf.ok("bottle CAOF-25-03A 1x50ml --when 2025-04-04")
    shelf.ok("dispense CAOF-25-03A/1 20ml --for C1 --when 2025-04-05")
    return shelf


def _refusals(shelf, herb: str, jar: str) -> dict[str, str]:
    """What each option says, none of which may record anything."""
    before = shelf.lines()
    said = {
        option: shelf.run(line.format(herb if option in OF_LOTS else jar)).err
        for option, line in OPTIONS.items()
    }
    assert shelf.lines() == before
    return said


def test_an_option_answers_a_name_that_is_near(stock):
    said = _refusals(stock, "nettel", "calendla")

    assert {option: err for option, err in said.items() if "did you mean" not in err} == {}


def test_an_option_lists_what_a_name_fits(stock):
    said = _refusals(stock, "nettle", "calendula")

    wanted = {option: "LOT-25-02" if option in OF_LOTS else "CAOF-25-0" for option in OPTIONS}
    found = {option: "fits" in err and wanted[option] in err for option, err in said.items()}
    assert found == dict.fromkeys(OPTIONS, True)


@pytest.mark.parametrize("numbers", ["01..02", "02..01", "01..99", "1..99999999", "90..99"])
def test_an_option_takes_no_range(stock, numbers):
    said = _refusals(stock, f"LOT-25-{numbers}", f"CAOF-25-{numbers}")

    assert {option: err for option, err in said.items() if "is a range, and" not in err} == {}


def test_the_lot_of_a_charge_is_never_a_range_nor_nothing(stock):
    before = stock.lines()

    assert "is a range, and `charge` takes one thing" in stock.refused(
        CHARGED.format("LOT-25-01..02"), code=2
    )
    for file in stock.state.rglob("*"):
        if file.is_file():
            file.unlink()
    assert "Nothing was named" in stock.refused(CHARGED.format("."), code=2)
    assert stock.lines() == before


def test_the_last_lot_named_is_the_one_of_a_charge(stock):
    stock.ok("note LOT-25-02 'dry and green'")
    answer = stock.run(f"charge nettle --fresh 50g {POUR} --lot .")

    assert answer.code == 0, answer.err
    assert ". taken as LOT-25-02." in answer.err


def test_a_verb_is_refused_as_such_where_the_last_named_does_not_fit(stock):
    stock.ok("show CAOF-25-01")

    assert "CAOF-25-01: it was not pressed" in stock.refused("press CAOF-25-02 300ml --like .")


def test_a_name_of_a_lots_herb_is_kept_as_a_name_and_the_lots_are_said(stock):
    """Who writes the plant may mean the lot in store, of which nothing is taken then."""
    answer = stock.run(CHARGED.format("nettle"))

    assert answer.code == 0, answer.err
    assert "nettle is kept as a name, and no lot gets less by it" in answer.err
    assert "in the book: LOT-25-01, LOT-25-02." in answer.err


def test_a_name_of_the_makers_own_is_kept_without_a_word(stock):
    assert "kept as a name" not in stock.run(CHARGED.format("market stall")).err
