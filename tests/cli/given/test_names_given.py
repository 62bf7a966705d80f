"""A code may be the name of a plant: one that fits is taken, of several a person chooses."""

import json

import pytest

POUR = '--pour "500 ml 45%"'
DAY = "--when 2025-03-03"


@pytest.fixture
def shelf(command):
    """Two jars of marigold, one of them pressed; lemon balm, of leaf and of root; valerian."""
    command.ok(f'charge "Calendula officinalis" --part flower --dried 100g {POUR} {DAY}')
    command.ok(f'charge "Calendula officinalis" --part flower --dried 90g {POUR} {DAY}')
    command.ok("press CAOF-25-01 400ml --when 2025-04-03")
    command.ok(f'charge "Melissa officinalis" --part leaf --dried 80g {POUR} {DAY} --place attic')
    command.ok(f'charge "Melissa officinalis" --part leaf --fresh 80g {POUR} {DAY} --place cellar')
    command.ok(f'charge "Valeriana officinalis" --common "garden heliotrope" --part root '
               f"--dried 80g {POUR} {DAY}")  # fmt: skip
    return command


@pytest.mark.parametrize(
    ("line", "taken"),
    [
        ("press calendula 380ml --dry-run", "calendula taken as CAOF-25-02, marigold flower"),
        ("press MARIGOLD 380ml --dry-run", "MARIGOLD taken as CAOF-25-02"),
        ("press Caléndula 380ml --dry-run", "taken as CAOF-25-02"),
        ("press 'officinalis calendula' 380ml --dry-run", "taken as CAOF-25-02"),
        ("press heliotrope 400ml --dry-run", "taken as VAOF-25-01"),
        ("press 'root valerian' 400ml --dry-run", "taken as VAOF-25-01"),
        ("shake 'lemon balm attic' --dry-run", "taken as MEOF-25-01, lemon balm leaf, dried"),
        ("shake 'lemon balm fresh' --dry-run", "taken as MEOF-25-02, lemon balm leaf, fresh"),
        ("look balm,cellar --dry-run", "taken as MEOF-25-02"),
        ("bottle calendula 3x100ml --when 2025-05-05 --dry-run", "calendula taken as CAOF-25-01A"),
        ("filter marigold 390ml --dry-run", "marigold taken as CAOF-25-01A"),
        (
            "dispense calendula 20ml --for C1 --when 2025-05-05 --dry-run",
            "calendula taken as CAOF-25-01A",
        ),
        ("note valerian 'smells right' --dry-run", "taken as VAOF-25-01"),
        ("label valerian --dry-run", "taken as VAOF-25-01"),
        ("later valerian 3d --dry-run", "taken as VAOF-25-01"),
        ("show valerian", "taken as VAOF-25-01"),
        ("history valerian", "taken as VAOF-25-01"),
        ("trace valerian", "taken as VAOF-25-01"),
        ("timeline valerian", "taken as VAOF-25-01"),
        ("record valerian", "taken as VAOF-25-01"),
        ("strength valerian", "taken as VAOF-25-01"),
        ("strength 'garden heliotrope'", "garden heliotrope taken as VAOF-25-01"),
        ("strength garden heliotrope", "garden heliotrope taken as VAOF-25-01"),
        ("handout valerian", "taken as VAOF-25-01"),
    ],
)
def test_a_name_that_fits_one_thing_is_taken_and_that_is_said(shelf, line, taken):
    answer = shelf.run(line)

    assert answer.code == 0, answer.err
    assert taken in answer.err


def test_a_code_is_never_beaten_by_a_name(shelf):
    """Somebody called a jar of valerian by the name of another plant."""
    shelf.ok(f'charge "Valeriana officinalis" --dried 50g {POUR} {DAY} --code CALENDULA-7')

    assert "CALENDULA-7 shaken" in shelf.ok("shake calendula --dry-run")


@pytest.mark.parametrize("line", ["press 'lemon balm' 400ml", "show balm", "shake officinalis"])
def test_several_in_a_script_are_listed_and_refused(shelf, line):
    err = shelf.refused(line, code=2)

    assert "MEOF-25-01  lemon balm leaf, dried, charged 3 Mar 2025, attic" in err
    assert "MEOF-25-02  lemon balm leaf, fresh, charged 3 Mar 2025, cellar" in err
    assert "write the code of one" in err


def test_several_in_json_are_listed_as_json(shelf):
    answer = shelf.run("press balm 400ml --json")

    assert (answer.code, answer.out) == (2, "")
    said = json.loads(answer.err.splitlines()[-1])
    assert said["text"] == "balm"
    assert [one["code"] for one in said["choices"]] == ["MEOF-25-01", "MEOF-25-02"]


def test_a_person_chooses_by_a_number(shelf):
    answer = shelf.at_terminal("press 'lemon balm' 420ml --when 2025-06-03 --sure", typed="7\n2\n")

    assert answer.code == 0, answer.out
    assert "lemon balm fits 2 things:" in answer.out
    assert "1  lemon balm leaf, dried  MEOF-25-01  charged 3 Mar 2025, attic" in answer.out
    assert answer.out.count("Which, 1 to 2, or none") == 2
    assert "MEOF-25-02 pressed 420 ml" in answer.out


def test_a_code_that_fits_several_is_chosen_too(shelf):
    answer = shelf.at_terminal("shake MEOF --when 2025-03-04", typed="1\n")

    assert answer.code == 0, answer.out
    assert "MEOF-25-01 shaken" in answer.out


@pytest.mark.parametrize("typed", ["none\n", "9\n"])
def test_where_none_is_meant_nothing_is_recorded(shelf, typed):
    before = shelf.written()
    answer = shelf.at_terminal("shake balm --when 2025-03-04", typed=typed)

    assert answer.code != 0
    assert shelf.written() == before


def test_a_choice_is_asked_where_something_is_shown(shelf):
    answer = shelf.at_terminal("show balm", typed="2\n")

    assert answer.code == 0, answer.out
    assert "MEOF-25-02" in answer.out.split("or none")[1]


def test_the_choice_is_made_while_the_book_is_free(shelf):
    """Nobody else at this machine waits for an answer."""
    answer = shelf.at_terminal("look balm --when 2025-03-09", typed="2\n")

    assert "MEOF-25-02" in answer.out
    assert len([one for one in shelf.lines() if one["type"].endswith("looked_at")]) == 1


def test_what_cannot_be_done_with_the_one_of_that_name_is_refused_as_ever(shelf):
    err = shelf.refused("filter valerian 100ml")

    assert "VAOF-25-01: it has not been pressed yet" in err


def test_of_several_that_it_cannot_be_done_with_none_is_asked_about(shelf):
    err = shelf.refused("filter balm 100ml")

    assert "balm: nothing of that name can be taken here as it stands: MEOF-25-01" in err


@pytest.mark.parametrize("typed", ["valeriana vulgaris", "vaxerian", "attic", "leaf", "x", "va x"])
def test_nothing_is_taken_for_a_name_that_it_is_not(shelf, typed):
    shelf.refused("shake", typed, "--when", "2025-03-04")


def test_a_slip_is_asked_about_and_not_taken(shelf):
    assert "did you mean Calendula?" in shelf.refused("press calendla 300ml")


def test_what_is_gone_is_found_by_its_name_where_it_is_looked_at(shelf):
    shelf.ok("discard VAOF-25-01 --why mould --when 2025-04-01 --sure")

    assert "VAOF-25-01" in shelf.ok("history valerian")
    assert "taken as VAOF-25-01" in shelf.run("restore valerian --dry-run").err
    shelf.refused("shake valerian")


def test_a_lot_goes_by_the_name_of_its_herb_as_well(shelf):
    shelf.ok("buy Tilia --part flower --dried 500g --when 2025-03-01")

    assert "Tilia taken as LOT-25-01" in shelf.run("hold Tilia --why damp --dry-run").err


def test_a_page_takes_names_and_refuses_several(shelf):
    page = shelf.home / "page.txt"
    page.write_text("shake valerian\n")
    assert "valerian taken as VAOF-25-01" in shelf.run("enter page.txt --dry-run").err

    page.write_text("shake valerian\nshake balm\n")
    err = shelf.refused("enter page.txt", code=2)
    assert "line 2" in err
    assert "MEOF-25-02" in err


def test_a_hostile_name_does_nothing_on_the_screen(shelf):
    name = "Melissa\u202e\x1b[31m officinalis " + "x" * 150
    shelf.run("found", name, "--dried", "10g", "--pour", "100 ml 45%", "--sure")
    answer = shelf.at_terminal("show melissa", typed="1\n")

    assert answer.code == 0
    assert "\x1b[31m" not in answer.out
    assert "\u202e" not in answer.out


def test_of_what_is_all_gone_that_is_said(shelf):
    shelf.ok("discard VAOF-25-01 --why mould --when 2025-04-04 --sure")
    err = shelf.refused("press valerian 300ml")

    assert "valerian: nothing of that name is there any more: VAOF-25-01" in err
    assert "stillroom show VAOF-25-01" in err


def test_several_of_a_name_are_a_name_and_of_the_beginning_of_a_code_a_code(shelf):
    assert "where: the name 'balm'" in shelf.refused("shake balm", code=2)
    assert "where: the code 'MEOF'" in shelf.refused("shake MEOF", code=2)


@pytest.mark.parametrize("line", ["strength 'winter savory'", "strength winter savory"])
def test_a_strength_of_what_is_not_there_says_so(shelf, line):
    assert "Nothing in the book goes by winter savory" in shelf.refused(line)
