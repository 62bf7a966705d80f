"""`correct CODE` and `strike CODE` at a terminal: typed as a maker would, slips included."""

import re

import pytest

from tests.command import Command

BALM = (
    'charge "Melissa officinalis" --part leaf --dried 245g --pour "1030 ml glycerin" '
    '--pour "690 ml water" --when 2026-10-09'
)
# As it was: every line of the history looked through, then one command.
BEFORE = (
    "stillroom history MEOF-26-01\n",
    'stillroom correct 19 --set volume=1450ml --why "misread the jug"\n',
)
NOW = (
    "stillroom correct MEOF-26-01\n",
    "19\n",
    "volume\n",
    "1450 ml\n",
    "\n",
    "misread the jug\n",
    "\n",
)


@pytest.fixture
def balm(command: Command) -> Command:
    command.ok(BALM)
    for day in range(10, 27):
        command.ok(f"shake MEOF-26-01 --when 2026-10-{day}")
    command.ok("press MEOF-26-01 1405ml --with hand --marc composted --when 2026-11-20")
    command.ok("filter MEOF-26-01A 1390ml --when 2026-11-20")
    command.ok("bottle MEOF-26-01A 3x100ml --when 2026-11-20")
    return command


def test_a_volume_is_corrected_by_the_code_of_its_jar(balm):
    screen = balm.at_terminal("correct MEOF-26-01", typed="".join(NOW[1:])).out

    assert "Lemon balm leaf, dried, MEOF-26-01" in screen
    assert "16 more shakes" in screen
    assert "What was wrong: volume, how, marc, day, other?" in screen
    assert "volume: 1405 ml → ?" in screen
    assert "19 MEOF-26-01 pressed: volume 1405 ml → 1450 ml." in screen
    assert "bottled 3 × 100 ml" in screen.partition("look at each again:")[2]
    assert "Done after it, and still right: filtered." in screen
    assert "Record? [Y/n]" in screen
    assert "Recorded. `stillroom undo` takes it back." in screen
    assert balm.asked("show MEOF-26-01")["pressed_ml"] == 1450


def test_it_takes_fewer_keys_and_no_look_at_the_history(balm):
    assert (sum(map(len, BEFORE)), sum(map(len, NOW))) == (94, 65)


def test_nothing_on_the_screen_is_wider_than_it_or_of_the_format(balm):
    screen = balm.at_terminal("correct MEOF-26-01", typed="19\nother\n\n").out
    listed = screen.partition("Which line?")[0]

    assert "volume_ml" not in screen
    assert "{" not in screen
    assert max(map(len, listed.splitlines())) <= 80


def test_a_slip_is_told_and_asked_again(balm):
    typed = "99\nmore\n19\ncolour\nvol\n5 g\n1.450 ml\n1\n\nwhy not\nv\n1420 ml\n\n\n"
    answer = balm.at_terminal("correct MEOF-26-01", typed=typed)
    screen = answer.out

    assert "99 is none of these." in screen
    assert re.search(r"18  26 Oct( \d+)?  shaken", screen)
    assert "That line has no 'colour'." in screen
    assert "that is a weight, and it needs a volume" in screen
    assert "does 1.450 mean thousands or decimals?" in screen


def test_what_the_gate_refuses_is_asked_again_and_its_reason_is_kept(balm):
    typed = "volume\n9 l\n\nmisread the jug\nv\n1.4 l\n\n\n"
    answer = balm.at_terminal("correct 19", typed=typed)

    assert answer.code == 0, answer.out
    assert "more than ever went in" in answer.out
    assert balm.asked("show MEOF-26-01")["pressed_ml"] == 1400
    assert balm.lines()[-1]["data"]["why"] == "misread the jug"


def test_several_fields_of_one_line_are_corrected_together(balm):
    answer = balm.at_terminal("correct 19", typed="how\nricer\nday\n2026-11-21\n\nmisread\n\n")

    assert "how hand → ricer" in answer.out
    # With the year, once it is no longer the running one.
    assert re.search(r"day 20 Nov(| 2026) → 21 Nov\1\b", answer.out)
    assert len(balm.lines()) == 22


QUESTIONS = [
    ("correct MEOF-26-01", ""),
    ("correct MEOF-26-01", "19\n"),
    ("correct MEOF-26-01", "19\nvolume\n"),
    ("correct MEOF-26-01", "19\nvolume\n1450 ml\n"),
    ("correct MEOF-26-01", "19\nvolume\n1450 ml\n\n"),
    ("correct MEOF-26-01", "19\nvolume\n1450 ml\n\nmisread\n"),
    ("strike MEOF-26-01", ""),
    ("strike MEOF-26-01", "21\n"),
    ("strike MEOF-26-01", "21\nslip\n"),
    ("undo", ""),
]


@pytest.mark.parametrize(("line", "typed"), QUESTIONS)
def test_ctrl_c_at_any_question_records_nothing(balm, line, typed):
    before = balm.written()
    answer = balm.at_terminal(line, typed=f"{typed}\x03")

    assert answer.code != 0
    assert "Traceback" not in answer.out
    assert balm.written() == before


def test_no_is_no(balm):
    before = balm.written()
    answer = balm.at_terminal("correct 19", typed="volume\n1450 ml\n\nmisread\nn\n")

    assert answer.code == 1
    assert "Nothing was recorded." in answer.out
    assert balm.written() == before


def test_of_an_extract_its_own_lines_are_shown(balm):
    screen = balm.at_terminal("correct MEOF-26-01A", typed="\x03").out

    assert "pressed 1405 ml" in screen
    assert "filtered to 1390 ml" in screen
    assert "charged" not in screen


def test_a_strike_is_chosen_by_the_code(balm):
    answer = balm.at_terminal("strike MEOF-26-01A", typed="21\nnot yet\n\n")

    assert answer.code == 0, answer.out
    assert balm.lines()[-1]["type"] == "struck"


def test_a_script_gets_the_lines_and_is_misused(balm):
    for verb in ("correct", "strike"):
        err = balm.refused(f"{verb} MEOF-26-01 --why slip", code=2)

        assert "MEOF-26-01 has 21 lines." in err
        assert re.search(r"19  20 Nov( \d+)?  pressed 1405 ml", err)
    err = balm.refused("correct 19 --why slip", code=2)
    assert "it has: volume, with, marc, day, keeps, thing, note, by." in err
