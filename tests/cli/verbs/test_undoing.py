"""`undo`: the last command is taken back, all its lines, by the rules of a strike."""

import pytest

from tests.command import Command

CALENDULA = 'charge "Calendula officinalis" --dried 100g --pour "500 ml 45%" --when 2025-03-03'


@pytest.fixture
def jar(command: Command) -> Command:
    command.ok(CALENDULA)
    return command


def kinds(command: Command) -> list[str]:
    return [str(one["type"]) for one in command.lines()]


def test_undo_takes_back_the_last_command_and_says_how_it_comes_back(jar):
    jar.ok("shake CAOF-25-01 --when 2025-03-04")
    out = jar.ok("undo")

    assert out.splitlines() == [
        "Undone: marigold CAOF-25-01 shaken (4 Mar 2025).",
        "`stillroom strike 3` brings it back.",
    ]
    assert jar.asked("show CAOF-25-01")["shakes"] == 0
    assert jar.lines()[-1]["data"]["why"] == "undone"


def test_what_another_person_recorded_is_said_to_be_theirs(jar):
    jar.ok("note CAOF-25-01 smells --by KL --when 2025-03-04")
    screen = jar.at_terminal("undo --by MA", typed="n\n").out
    out = jar.told("undo --by MA")

    assert " by KL." in " ".join(screen.split())
    assert "note: smells (4 Mar 2025), recorded by KL." in out


def test_each_undo_goes_further_back(jar):
    jar.ok("shake CAOF-25-01 --when 2025-03-04")
    jar.ok("press CAOF-25-01 370ml --when 2025-04-05")
    told = [jar.ok("undo").splitlines()[0] for _ in range(3)]

    assert ["pressed" in told[0], "shaken" in told[1], "charged" in told[2]] == [True] * 3
    assert jar.json("shelf") == []
    assert "nothing recorded here is left to take back" in jar.refused("undo")


def test_an_undo_is_undone_by_a_strike_of_it(jar):
    jar.ok("shake CAOF-25-01 --when 2025-03-04")
    jar.ok("undo")
    out = jar.ok("strike 3 --why 'it was shaken'")

    assert "It counts again: marigold CAOF-25-01 shaken (4 Mar 2025)." in out
    assert jar.asked("show CAOF-25-01")["shakes"] == 1


def test_a_strike_and_a_correction_are_commands_like_any_other(jar):
    jar.ok("shake CAOF-25-01 --when 2025-03-04")
    jar.ok("strike 2 --why slip")
    jar.ok("undo")
    assert jar.asked("show CAOF-25-01")["shakes"] == 1

    jar.ok("correct 1 --set dried=90g --why misread")
    out = jar.ok("undo")
    assert "1 CAOF-25-01 charged: dried weight 90 g → 100 g." in out


def test_all_lines_of_one_command_go_together(command):
    command.ok(f"{CALENDULA} --count 12")
    out = command.ok("undo --why 'wrong evening'")

    assert out.count("Undone: ") == 12
    assert kinds(command)[12:] == ["struck"] * 12
    assert len({one["unit"] for one in command.lines()[12:]}) == 1
    assert command.json("shelf") == []
    assert command.lines()[-1]["data"]["why"] == "undone: wrong evening"
    numbers = out.splitlines()[-1].removeprefix("`stillroom strike ").partition("`")[0]
    command.ok(f"strike {numbers} --why 'it was right'")
    assert len(command.json("shelf")) == 12


def test_a_page_is_one_command(jar, tmp_path):
    page = tmp_path / "page"
    days = [f"shake CAOF-25-01 --when 2025-03-{day:02}" for day in range(4, 31)]
    lines = [*days, "press CAOF-25-01 370ml --when 2025-04-05"]
    lines += ["filter CAOF-25-01A 360ml --when 2025-04-06"]
    lines += ["bottle CAOF-25-01A 3x100ml --when 2025-04-07"]
    page.write_text("\n".join(lines))
    jar.ok(f"enter --yes {page}")
    out = jar.ok("undo")

    assert out.count("Undone: ") == len(lines)
    assert jar.asked("show CAOF-25-01")["state"] in ("macerating", "ready")
    assert jar.asked("show CAOF-25-01")["shakes"] == 0


def test_undo_has_no_place_in_a_page(jar, tmp_path):
    page = tmp_path / "page"
    page.write_text("shake CAOF-25-01\nundo\n")

    assert "`undo` takes back a whole" in jar.refused(f"enter --yes {page}", code=2)


def test_what_came_of_a_charge_is_asked_about_as_a_strike_asks(jar):
    """The press is another writer's, so the charge is the last command here."""
    jar.env["STILLROOM_WRITER"] = "loft"
    jar.ok("press CAOF-25-01 370ml --when 2025-04-05")
    jar.env["STILLROOM_WRITER"] = "bench"
    err = jar.refused("undo")

    assert "that takes CAOF-25-01, CAOF-25-01A off the shelf" in err
    assert "--sure" in err
    assert "pressed" in jar.ok("undo --sure")


def test_another_writer_s_lines_are_left_alone(jar):
    jar.env["STILLROOM_WRITER"] = "loft"
    err = jar.refused("undo")
    assert "nothing recorded here is left to take back" in err

    jar.ok("shake CAOF-25-01 --when 2025-03-04")
    jar.ok("undo")
    assert jar.asked("show CAOF-25-01")["shakes"] == 0


def test_what_has_a_life_outside_the_book_is_named(jar):
    jar.ok("press CAOF-25-01 370ml --when 2025-04-05")
    jar.ok("label CAOF-25-01A")
    assert "are printed already" in jar.run("undo").err
    jar.ok("dispense CAOF-25-01A 30ml --for C03 --when 2025-05-01")
    assert "That does not bring back what was given out" in jar.run("undo").err
    jar.ok("discard CAOF-25-01A 10ml --why spilt")
    said = jar.run("undo").err
    assert "never thrown out" in said
    assert "`stillroom restore CAOF-25-01A`" in said


LIFTED = [
    ("hold CAOF-25-01A --why cloudy", "CAOF-25-01A"),
    ("hold CAOF-25-01 --why cloudy", "CAOF-25-01"),
    ("look CAOF-25-01A --sign cloudy --verdict hold", "CAOF-25-01A"),
    ("recall K12 --why cloudy", "CAOF-25-01"),
]


@pytest.mark.parametrize(("line", "code"), LIFTED)
def test_what_takes_a_thing_off_hold_is_asked_about(command, line, code):
    """A hold is lifted by `release`, with a reason; a strike of it comes to the same."""
    command.ok(f"{CALENDULA} --lot K12")
    command.ok("press CAOF-25-01 370ml --when 2025-04-05")
    command.ok("bottle CAOF-25-01A 3x100ml --when 2025-04-06")
    command.ok(line)
    err = command.refused("undo")

    assert f"that takes {code} off hold" in err
    assert "--sure" in err
    assert command.json("show CAOF-25-01A/1")["hold"] is not None
    command.ok("undo --sure")
    assert command.json("show CAOF-25-01A/1")["hold"] is None
    number = command.number("struck")
    command.ok(f"strike {number} --why 'it was right'")  # a hold that comes back is no question
    assert command.json("show CAOF-25-01A/1")["hold"] is not None


def test_a_recall_of_a_lot_of_the_book_is_asked_about_with_all_it_held(command):
    command.ok('buy "Calendula officinalis" --dried 500g --when 2025-03-01')
    command.ok('charge LOT-25-01 --dried 50g --pour "250 ml 45%" --count 9 --when 2025-03-03')
    command.ok("recall LOT-25-01 --why moth")
    err = command.refused("undo")

    assert "that takes LOT-25-01, CAOF-25-01, " in err
    assert " and 4 more off hold: moth" in err


def test_a_hold_beneath_another_is_no_question(jar):
    jar.ok("hold CAOF-25-01 --why cloudy")
    jar.ok("hold CAOF-25-01 --why smell")
    jar.ok("undo")

    assert jar.json("show CAOF-25-01")["hold"] is not None


def test_an_undone_release_is_on_hold_again(jar):
    jar.ok("hold CAOF-25-01 --why cloudy")
    jar.ok("release CAOF-25-01 --why 'it cleared'")
    jar.ok("undo")

    assert jar.json("show CAOF-25-01")["hold"] is not None


def test_the_list_has_the_last_ten_and_records_nothing(jar):
    for day in range(4, 14):
        jar.ok(f"shake CAOF-25-01 --when 2025-03-{day:02}")
    jar.ok("undo")
    before = jar.written()
    lines = jar.ok("undo --list").splitlines()
    told = jar.json("undo --list")

    assert len(lines) == len(told) == 10
    assert "undoes 11" in lines[0]
    assert lines[0].split()[:3] == ["12", "today", "at"]
    assert lines[1].endswith("(taken back)")
    assert [one["number"] for one in told[:2]] == ["12", "11"]
    assert jar.written() == before


def test_at_a_terminal_it_is_said_first_and_a_yes_is_for_that_command(jar):
    jar.ok("shake CAOF-25-01 --when 2025-03-04")
    no = jar.at_terminal("undo", typed="n\n")
    assert no.code == 1
    assert "Undo: CAOF-25-01 shaken, recorded today at " in no.out
    yes = jar.at_terminal("undo", typed="\n")

    assert "Recorded. `stillroom strike 3` brings it back." in yes.out
    assert kinds(jar) == ["charged", "shaken", "struck"]


def test_with_dry_run_and_json_nothing_is_written(jar):
    before = jar.written()
    told = jar.json("undo --dry-run")

    assert told["dry_run"] is True
    assert told["recorded"][0]["kind"] == "struck"
    assert jar.written() == before


def test_a_lot_that_was_charged_from_is_asked_about(command):
    command.ok('buy "Calendula officinalis" --dried 500g --when 2025-03-01')
    command.ok('charge LOT-25-01 --dried 100g --pour "500 ml 45%" --when 2025-03-03')
    err = command.refused("strike 1 --why slip")

    assert "that takes LOT-25-01 off the shelf" in err
    command.ok("undo")
    command.ok("undo")
    assert command.json("lots") == []


def test_what_is_thrown_out_as_soon_as_it_was_charged_may_never_have_been(command):
    command.ok(CALENDULA)
    said = command.run("discard CAOF-25-01 --why slip").err

    assert "was recorded only just now" in said
    assert "`stillroom undo`" in said


def test_two_lines_of_one_thing_are_struck_with_a_word_about_same(jar):
    jar.ok("press CAOF-25-01 370ml --when 2025-04-05")
    jar.ok("dispense CAOF-25-01A 30ml --for C03 --when 2025-05-01")
    jar.ok("dispense CAOF-25-01A 30ml --for C03 --when 2025-05-01 --sure")
    said = jar.run("strike 4 --why twice").err

    assert "The same thing recorded twice? `stillroom same 3 4` keeps both to read." in said


def test_a_number_of_lines_is_struck_at_once(jar):
    for day in ("04", "05"):
        jar.ok(f"shake CAOF-25-01 --when 2025-03-{day}")
    jar.ok("strike 2 3 --why 'another jar'")

    assert jar.asked("show CAOF-25-01")["shakes"] == 0
    assert kinds(jar)[-2:] == ["struck", "struck"]


def test_of_a_label_taken_back_not_all_it_says_is_said(jar):
    jar.ok("label CAOF-25-01 --when 2025-03-04")

    assert "Undone: CAOF-25-01 label printed (4 Mar 2025)." in jar.ok("undo")


def test_labels_of_several_things_are_said_to_be_printed_once(jar):
    jar.ok("press CAOF-25-01 330ml --when 2025-04-04")
    jar.ok("bottle CAOF-25-01A 3x50ml --when 2025-04-05")
    jar.ok("label CAOF-25-01A --bottles")

    hints = [line for line in jar.run("undo").err.splitlines() if "printed already" in line]
    assert hints == ["The labels of CAOF-25-01A/1..3 are printed already: throw them away."]
