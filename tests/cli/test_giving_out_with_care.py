"""What is offered to be given out says what must be known of it before it is chosen."""

import pytest

from tests.command import Command

POUR = "--part leaf --dried 100g --pour '500 ml 45%' --jar 1l --lid glass --when 2024-03-03 --sure"


@pytest.fixture
def shelf(command: Command) -> Command:
    for herb in ("Melissa officinalis", "Arnica montana", "Digitalis purpurea"):
        command.ok(f"charge '{herb}' {POUR}")
    command.ok("press MEOF-24-01 400ml --keeps '90 years' --when 2024-06-10")
    command.ok("press ARMO-24-01 400ml --keeps '6 months' --when 2024-06-10")
    command.ok("press DIPU-24-01 400ml --keeps '90 years' --when 2024-06-10")
    return command


def row_of(screen: str, code: str) -> str:
    """The row of a code, and what stands below it."""
    rows = screen.split("\r\n")
    at = next(number for number, row in enumerate(rows) if f" {code} " in row)
    below = rows[at + 1] if rows[at + 1].startswith("     ") else ""
    return f"{rows[at]}\n{below}"


def test_what_can_harm_and_what_is_past_its_date_is_said_beside_the_code(shelf):
    talk = shelf.talk("dispense", "\x03", columns=120)

    assert "external use only, past its date, 400 ml left" in row_of(talk.screen, "ARMO-24-01A")
    assert "poisonous, 400 ml left" in row_of(talk.screen, "DIPU-24-01A")
    assert "MEOF-24-01A  400 ml left" in row_of(talk.screen, "MEOF-24-01A")
    assert "  3  arnica" in talk.screen, "what is past its date stands last"


@pytest.mark.parametrize("columns", [60, 80])
def test_where_there_is_no_room_it_stands_in_a_line_of_its_own_and_whole(shelf, columns):
    talk = shelf.talk("dispense", "\x03", columns=columns)

    assert row_of(talk.screen, "ARMO-24-01A").endswith("\n       external use only, past its date")
    assert row_of(talk.screen, "DIPU-24-01A").endswith("\n       poisonous")
    assert row_of(talk.screen, "MEOF-24-01A").endswith("  MEOF-24-01A  400 ml left\n")
