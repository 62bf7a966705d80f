"""`history`: of a bottle its own thread, of a jar all of it, of the book the last commands."""

import pytest


@pytest.fixture
def shelf(command):
    """A jar shaken for a week, pressed, bottled, and given out of; and another jar."""
    command.ok(
        'charge "Calendula officinalis" --part flower --dried 100g --pour "500 ml 45%" '
        "--least 28d --when 2025-03-03 --code CA"
    )
    command.ok(
        'charge "Melissa officinalis" --dried 50g --pour "250 ml 45%" --when 2025-03-03 --code ME'
    )
    for day in range(4, 9):
        command.ok(f"shake --all --when 2025-03-0{day}")
    command.ok("press CA 370ml --when 2025-04-05")
    command.ok("filter CAA 358ml --when 2025-04-07")
    command.ok("bottle CAA 3x100ml --when 2025-04-08")
    command.ok("dispense CAA 20ml --for C01 --when 2025-04-09")
    command.ok("dispense CAA/1 30ml --for C02 --when 2025-04-10")
    command.ok("dispense CAA/2 40ml --for C03 --when 2025-04-11")
    return command


def test_a_bottle_has_its_own_thread_from_the_charge_on(shelf):
    own = [one["said"] for one in shelf.json("history CAA/1")]

    assert [one.split(" ")[0] for one in own] == [
        "charged",
        "pressed",
        "filtered",
        "bottled",
        "dispensed",
    ]
    assert own[-1] == "dispensed 30 ml for C02"
    assert "All 12 lines of CA: stillroom history CA --all" in shelf.run("history CAA/1").err


def test_an_extract_has_what_became_of_its_bottles_and_not_the_shakes_of_its_jar(shelf):
    own = shelf.told("history CAA")

    assert all(f"for C0{number}" in own for number in (1, 2, 3))
    assert "shake" not in own


def test_all_is_every_line_of_the_jar(shelf):
    told = shelf.told("history CAA/1 --all")

    assert told.count("shaken") == 5
    assert len(shelf.json("history CAA/1 --all")) == len(shelf.json("history CA")) == 12


def test_shakes_that_follow_each_other_are_one_line(shelf):
    assert "… 4 Mar 5 shakes, 4 Mar to 8 Mar" in shelf.told("history CA")


def test_a_hold_on_the_jar_stands_in_the_thread_of_its_bottle(shelf):
    shelf.ok("hold CA --why 'wrong plant' --when 2025-05-01")

    assert "wrong plant" in shelf.told("history CAA/3").split("bottled")[1]
    assert "ON HOLD since 1 May 2025" in shelf.told("history CAA/3")


def test_a_correction_and_its_strike_stand_below_what_they_are_of(shelf):
    shelf.ok(f"correct {shelf.number('filtered')} --set volume=352ml --why misread")
    correction = shelf.number("corrected")
    told = shelf.ok("history CAA").splitlines()
    at = next(place for place, one in enumerate(told) if "filtered to 358 ml" in one)

    assert f"CORRECTED by {correction}, " in told[at + 1]
    assert told[at + 2].strip() == "now: filtered to 352 ml"

    shelf.ok(f"strike {correction} --why 'it was right'")
    told = shelf.told("history CAA")
    assert "which was struck: misread" in told
    assert f"STRUCK by {shelf.number('struck')}, " in told
    assert "it was right" in told


def test_on_a_day_is_what_had_happened_by_then_as_it_is_known_now(shelf):
    shelf.ok(f"correct {shelf.number('charged', 0)} --set dried=120g --why 'read it again'")
    told = shelf.told("history CA --on 2025-03-05")

    assert "What happened through 5 Mar 2025, as it is known now." in told
    assert "now: charged 120 g" in told
    assert "2 shakes" in told
    assert "pressed" not in told


def test_what_was_moved_to_a_later_day_by_a_correction_is_not_there_before_it(shelf):
    shelf.ok(f"correct {shelf.number('filtered')} --set when=2025-04-08 --why 'a day late'")

    assert "filtered" not in shelf.told("history CAA --on 2025-04-07")
    assert "filtered" in shelf.told("history CAA --on 2025-04-08")


def test_without_a_code_it_is_the_last_commands_of_the_book(shelf):
    shelf.ok("note ME 'smells right' --by Ines")
    shelf.ok("charge Urtica --dried 50g --pour '250 ml 45%' --count 3")
    last = shelf.ok("history").splitlines()

    assert "ME note: smells right · by Ines" in shelf.told("history")
    assert "-01..03 charged: 50 g dried in 250 ml" in " ".join(last[-2:])
    assert len(shelf.json("history")) == len(shelf.lines())


def test_the_diary_of_a_day_has_what_was_written_down_of_it_later(shelf):
    told = shelf.told("history --on 2025-04-10")

    assert "CAA/1 dispensed 30 ml for C02 (10 Apr 2025)" in told
    assert "CAA/2" not in told
    assert "Nothing was recorded on that day" in shelf.run("history --on 2024-01-01").err


@pytest.mark.parametrize("columns", [60, 80, 120, 200])
@pytest.mark.parametrize("line", ["history CA", "history CAA/1", "history"])
def test_no_line_is_wider_than_the_screen(shelf, line, columns):
    shelf.ok("note CA", "a note that goes on and on, " * 8)
    plain = shelf.at_terminal(line, columns=columns, NO_COLOR="1").out

    assert max(len(one.rstrip("\r")) for one in plain.split("\n")) <= columns
    assert "\x1b[" not in plain


@pytest.mark.parametrize("line", ["history CA", "trace CA", "lots"])
def test_what_looks_back_takes_a_day_without_its_year_for_the_last_one(shelf, line):
    """Nothing has happened by the coming one that had not by today."""
    asked = shelf.run(f"{line} --on", "1 Jan")
    last = shelf.run("note CA seen --dry-run --when", "1 Jan")

    assert asked.err.splitlines()[0] == last.err.splitlines()[0]
