"""Somebody who saw no answer says it once more: asked, and recorded only if it is meant."""

import pytest

from tests.faults.injecting import CHARGE

PRESSED = "press CAOF-25-01 370ml --when 2025-06-03"
GIVEN = "dispense CAOF-25-01A 100ml --for P03 --when 2025-06-10"


@pytest.fixture
def pressed(command):
    command.ok(CHARGE)
    command.ok(PRESSED)
    command.ok(GIVEN)
    return command


def test_given_out_twice_within_minutes_is_refused_in_a_script_and_sure_of_it_is_recorded(pressed):
    refused = pressed.refused(GIVEN)
    assert "CAOF-25-01A: the same was recorded a minute ago, as entry 3." in refused
    assert "history CAOF-25-01A" in refused

    pressed.ok(f"{GIVEN} --sure")
    pressed.ok(
        "dispense CAOF-25-01A 50ml --for P03 --when 2025-06-10"
    )  # other words need no being sure
    assert pressed.json("show CAOF-25-01A")["volume_ml"] == 120


def test_at_a_terminal_it_is_asked(pressed):
    no = pressed.at_terminal(GIVEN, typed="n\n")
    assert "the same was recorded" in no.out
    assert no.code == 1
    assert len(pressed.lines()) == 3

    assert pressed.at_terminal(GIVEN, typed="y\n").code == 0
    assert len(pressed.lines()) == 4


@pytest.mark.parametrize(
    "line",
    [
        CHARGE,
        "buy '1 l 45%'",
        "gather 'Melissa officinalis' --fresh 100g --when 2025-03-01",
        "bottle CAOF-25-01A 1x50ml --when 2025-06-04",
        "top-up CAOF-25-02 --pour '50 ml 45%' --when 2025-03-05",
        "discard CAOF-25-01A 10ml --why spilt --when 2025-06-11",
    ],
)
def test_what_would_be_there_twice_is_asked_about(pressed, line):
    pressed.ok(f"{CHARGE} --jar 2l --sure")
    if line != CHARGE:
        pressed.ok(f"{line} --sure")

    assert "the same was recorded" in pressed.refused(line)


@pytest.mark.parametrize(
    "line",
    [
        "shake CAOF-25-02",
        "look CAOF-25-02 --verdict fine",
        "note CAOF-25-01 dark",
        "count CAOF-25-01A 260ml",
        "filter CAOF-25-01A 260ml",
        "label CAOF-25-01A",
    ],
)
def test_what_leaves_the_shelf_as_it_was_is_said_as_often_as_one_likes(pressed, line):
    pressed.ok(f"{CHARGE} --sure")
    pressed.ok(line)
    pressed.ok(line)


def test_like_jars_charged_one_by_one_are_asked_about_once(pressed):
    """The second may be a slip; who means it has a row of them to fill."""
    pressed.refused(CHARGE)
    pressed.ok(f"{CHARGE} --sure")

    pressed.ok(CHARGE)
    pressed.ok(CHARGE)


def test_like_jars_charged_at_once_are_asked_about_once_more(command):
    command.ok(f"{CHARGE} --count 6")

    assert "the same was recorded" in command.refused(CHARGE)


def test_a_page_entered_twice_is_one_question(pressed):
    page = pressed.home / "page"
    given = "dispense CAOF-25-01A {} --when 2025-06-11\n"
    page.write_text(given.format("20ml --for P07") + given.format("30ml --for P08"))
    pressed.ok(f"enter {page}")

    refused = pressed.refused(f"enter {page}")
    assert "line 1, CAOF-25-01A: the same was recorded" in refused
    assert "line 2, CAOF-25-01A: the same was recorded" in refused
    no = pressed.at_terminal(f"enter {page}", typed="n\n")
    assert no.code == 1
    assert "Record all of it once more [y/N]" in no.out
    pressed.ok(f"enter {page} --sure")
    assert len(pressed.lines()) == 7


def test_a_page_may_say_the_same_twice(pressed):
    page = pressed.home / "page"
    page.write_text("dispense CAOF-25-01A 20ml --for P07 --when 2025-06-11\n" * 2)

    pressed.ok(f"enter {page}")


def test_taken_out_and_said_again_it_is_not_asked_about(pressed):
    pressed.ok("strike 3 --why 'wrong reference'")
    pressed.ok(GIVEN)
