"""How wide an answer is: as the terminal, in a pipe as COLUMNS says, else 80 cells."""

import pytest


@pytest.fixture
def a_shelf(command):
    command.ok('charge "Calendula officinalis" --dried 100g --pour "500 ml 45%" --when 2025-03-03')
    return command


def longest(text: str) -> int:
    return max(len(line) for line in text.splitlines())


LONG = "charge 'Arctostaphylos uva-ursi subspecies adenotricha variety longissima of the heath'"


@pytest.mark.parametrize(
    ("said", "width"),
    [("60", 60), ("120", 120), ("0", 80), ("-5", 80), ("wide", 80), ("", 80), ("٦٠", 80)],
)
def test_a_pipe_takes_as_many_cells_as_columns_says(a_shelf, said, width):
    a_shelf.ok(f"{LONG} --dried 100g --pour '500 ml 45%' --when 2025-03-03 --belongs C1")
    a_shelf.env["COLUMNS"] = said

    assert 56 < longest(a_shelf.ok("shelf")) <= width
    assert a_shelf.installed("shelf").out == a_shelf.ok("shelf")


def test_a_terminal_takes_its_own_width_whatever_columns_says(a_shelf):
    a_shelf.ok(f"{LONG} --dried 100g --pour '500 ml 45%' --when 2025-03-03")

    wide = a_shelf.at_terminal("shelf", columns=60, COLUMNS="100", NO_COLOR="1")
    assert longest(wide.out) <= 60


def test_a_terminal_of_no_width_is_taken_as_80_cells(a_shelf):
    a_shelf.ok(f"{LONG} --dried 100g --pour '500 ml 45%' --when 2025-03-03")

    assert 60 < longest(a_shelf.at_terminal("shelf", columns=0, NO_COLOR="1").out) <= 80
