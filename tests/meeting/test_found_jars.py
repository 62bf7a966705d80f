"""Found jars and charges of unknown date through the command: a guess is a range, or nothing."""

import pytest

from tests.command import Command

FOUND = "found 'Rosa canina' --part fruit --volume 400ml --code OLD --when 2025-03-09"
CALENDULA = 'charge "Calendula officinalis" --part flower --dried 100g --pour "500 ml 45%"'


def due(command: Command, day: str) -> dict[str, str]:
    return {one["code"]: one["what"] for one in command.asked(f"due --on {day}")}


def released(command: Command) -> Command:
    command.ok("release OLD --why 'smells and tastes right' --when 2025-03-10")
    return command


def test_a_guess_gives_the_late_end_to_ready_and_the_early_end_to_longest(command):
    """Meteorological summer is June to August; 42 days after 31 August 2023 is 12 October."""
    said = command.ok(f"{FOUND} --charged 2023-summer --least 42d --longest 6m")
    jar = command.asked("show OLD")

    assert "as a guess charged Jun to Aug 2023" in said
    assert jar["charged"] == {"from": "2023-06-01", "to": "2023-08-31"}
    assert jar["charge_guessed"] is True
    assert jar["earliest_press"] == "2023-10-12"
    assert jar["longest"] == "2023-12-01"  # six months after 1 June
    assert "summer 2023, a guess" in command.ok("show OLD")


def test_after_release_a_guessed_jar_is_ready_or_past_its_longest(command):
    command.ok(f"{FOUND} --charged 2023-summer --least 42d --longest 6m")
    on_hold = due(command, "2025-03-09")
    released(command)

    assert on_hold == {"OLD": "safety"}
    assert due(command, "2025-03-11") == {"OLD": "past-longest"}


def test_a_guessed_jar_becomes_ready_on_its_day(command):
    command.ok(f"{FOUND} --charged 2025-02 --least 42d")
    released(command)

    # 42 days after 28 February 2025.
    assert due(command, "2025-04-10") == {}
    assert due(command, "2025-04-11") == {"OLD": "ready"}


@pytest.mark.parametrize("guess", ["", "--least 42d", "--charged 2023", "--longest 6m"])
def test_without_both_guesses_nobody_says_when_it_is_ready(command, guess):
    command.ok(f"{FOUND} {guess}")
    released(command)
    jar = command.asked("show OLD")

    assert jar["earliest_press"] is None
    assert jar["ready"] is None
    assert "earliest press    not known" in command.ok("show OLD")
    assert all("ready" not in due(command, day) for day in ("2025-03-11", "2026-03-11"))


@pytest.fixture
def unknown(command: Command) -> Command:
    """One found without a guess, and one charged on an unknown day; both released or free."""
    command.ok(FOUND)
    command.ok(f"{CALENDULA} --code CX --least 28d --longest 6m --when unknown")
    return released(command)


@pytest.mark.parametrize("code", ["OLD", "CX"])
def test_of_an_unknown_charge_nothing_is_reckoned(unknown, code):
    jar = unknown.asked(f"show {code}")

    assert jar["charged"]["from"] is None
    for name in ("days_on_herb", "earliest_press", "longest", "ready"):
        assert jar[name] is None
    assert "not known" in unknown.ok(f"show {code}")


@pytest.mark.parametrize(
    "line",
    [
        "show OLD",
        "show CX",
        "show CX --json",
        "shelf",
        "shelf --json",
        "shelf --csv",
        "due",
        "due --on 2027-01-01",
        "due --json",
        "season",
        "season --json",
        "timeline CX",
        "record CX",
        "history CX",
        "calendar",
    ],
)
def test_no_output_takes_an_unknown_day_for_one_long_ago(unknown, line):
    said = unknown.ok(line)

    assert "1970" not in said
    assert "19700101" not in said


def test_a_bare_lid_on_a_jar_of_unknown_age_is_due_since_it_was_written_down(unknown):
    unknown.ok("move CX --lid tin")
    (line,) = [one for one in unknown.asked("due") if one["code"] == "CX"]

    assert line["what"] == "safety"
    assert not line["since"].startswith("1970")


def test_an_unknown_jar_has_no_day_in_the_calendar_and_none_on_the_label_or_the_shelf(unknown):
    assert "CX" not in unknown.ok("calendar")
    assert "press: day not known" in unknown.ok("shelf")
    assert "become ready" not in unknown.ok("season")


def test_a_guess_is_corrected_and_taken_back(command):
    command.ok(f"{FOUND} --charged 2023-summer --least 42d")
    number = command.event("found")
    command.ok(f"correct {number} --set charged=2022 --why 'the label of the crate says so'")
    corrected = command.asked("show OLD")
    command.ok(f"correct {number} --set charged=unknown --why 'another crate'")
    unknown = command.asked("show OLD")

    assert corrected["charged"] == {"from": "2022-01-01", "to": "2022-12-31"}
    assert corrected["earliest_press"] == "2023-02-11"  # 42 days after 31 December 2022
    assert unknown["charged"]["from"] is None
    assert unknown["earliest_press"] is None


def test_a_struck_find_takes_its_guess_along(command):
    command.ok(f"{FOUND} --charged 2023-summer --least 42d")
    command.ok(f"strike {command.event('found')} --why 'it is the neighbour’s' --sure")

    assert command.asked("shelf") == []
    assert command.asked("due --on 2025-03-10") == []


@pytest.mark.parametrize(
    ("guess", "says"),
    [
        ("--charged 2025-06", "cannot have been charged"),
        ("--charged long-ago", "--charged"),
        ("--least 42d --longest 7d", "is over before"),
    ],
)
def test_a_guess_that_cannot_be_is_misused(command, guess, says):
    assert says in command.refused(f"{FOUND} {guess}", code=2)


def test_what_is_joined_of_a_jar_of_unknown_age_is_ready_on_no_known_day(unknown):
    unknown.ok(f"{CALENDULA} --code CY --least 28d --longest 3m --when 2025-03-03")
    unknown.ok("join CX CY --code BOTH")
    jar = unknown.asked("show BOTH")

    assert jar["earliest_press"] is None
    assert jar["longest"] == "2025-06-03"  # that of the part whose day is known


def test_a_guess_puts_nothing_in_doubt_that_was_done_before_it(command):
    command.ok(f"{FOUND} --charged 2023-summer")
    command.ok("look OLD --sign taste --when 2023-01-10")

    assert command.asked("show OLD")["flags"] == []
    assert "10 Jan 2023, fine: taste" in command.ok("show OLD")
