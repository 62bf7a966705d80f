"""Prose is parted between words on a screen; in a pipe a message is one line, to be found."""

import re

import pytest
from wcwidth import wcswidth

from tests.command import Command
from tracker.outputs.terminal.wrapping import hung

DRESS = re.compile("\x1b\\[[0-9;]*m")
CODE = re.compile(r"\b([A-Z]+-)\d\d(-\d\d)\b")
ASKED = (
    *("due", "shelf", "shelf --done", "stock", "stock --costs", "lots", "yields", "season"),
    *("supply", "history", "practice", "practice --all", "check", "--help", "press --help"),
    *("show TICO-26-02", "show CAOF-26-03", "show BLEND-26-01", "show LOT-25-11"),
    *("trace TICO-26-02", "recall LOT-25-11 --dry-run", "history TICO-26-02"),
    *("batches 'Calendula officinalis'", "timeline LECA-25-01", "strength TICO-26-02"),
    *("size --jar 1l --herb 100g --ratio 1:5", "mix 500ml 45% --from 96%"),
    *("show NONE-26-01", "press TICO-26-02 500ml", "shake --dry-run ARLA-26-02 --by Someone"),
)


@pytest.fixture(scope="module")
def demo(tmp_path_factory):
    """The demo book: every kind of thing, and everything that is said of one."""
    command = Command(tmp_path_factory.mktemp("lines"))
    command.ok("demo", str(command.book))
    return command


def here(command: Command, line: str) -> str:
    """The line with the codes that the book has: they are of the year it was made in."""
    codes = {code for one in command.lines() for code in one["subject"].split()}

    def there(said: re.Match[str]) -> str:
        found = [code for code in codes if code.startswith(said[1]) and code.endswith(said[2])]
        return said[0] if said[0] in codes else max(found, default=said[0])

    return CODE.sub(there, line)


def on_screen(command: Command, line: str, columns: int) -> list[str]:
    screen = command.at_terminal(here(command, line), columns=columns).out
    return DRESS.sub("", screen).split("\r\n")


def words(lines: list[str]) -> str:
    """What is read, wherever it is parted; a table has other columns where it is narrow."""
    return " ".join(" ".join(lines).split())


@pytest.mark.thorough
@pytest.mark.parametrize("columns", [60, 80, 200])
@pytest.mark.parametrize("line", ASKED)
def test_no_line_is_wider_than_the_screen(demo, line, columns):
    lines = on_screen(demo, line, columns)

    # A path and a command of the examples, which no screen may hold, are left to the terminal.
    left = (str(demo.home), "  stillroom ")
    wide = [one for one in lines if wcswidth(one) > columns and not any(map(one.count, left))]
    assert wide == []


@pytest.mark.parametrize("line", ["show TICO-26-02", "show LOT-25-11", "show NONE-26-01"])
def test_no_word_is_broken(demo, line):
    narrow, wide = on_screen(demo, line, 60), on_screen(demo, line, 1000)

    assert len(narrow) > len(wide)
    assert words(narrow) == words(wide)


def test_a_pipe_has_each_message_in_one_line_unless_columns_is_set(demo):
    asked = here(demo, "press TICO-26-02 500ml")
    whole = demo.installed(asked).err.splitlines()
    demo.env["COLUMNS"] = "60"
    parted = demo.installed(asked).err.splitlines()
    del demo.env["COLUMNS"]

    assert max(map(len, whole)) > 80
    assert max(map(len, parted)) <= 60
    assert words(parted) == words(whole)


def test_data_is_never_parted(demo):
    asked = here(demo, "show TICO-26-02 --json")
    screen = demo.at_terminal(asked, columns=60).out

    assert screen.replace("\r\n", "\n") == demo.installed(asked).out != ""


def test_what_goes_on_stands_under_the_text_of_its_row():
    assert hung("  state      on hold since the day of the frost", 30) == [
        "  state      on hold since the",
        "             day of the frost",
    ]


def test_what_goes_on_is_indented_as_its_line_is_and_two_cells_more():
    assert hung("  to do: look at the jar again in a week", 26) == [
        "  to do: look at the jar",
        "    again in a week",
    ]


@pytest.mark.parametrize(
    ("line", "kept"),
    [
        ("There is none. `stillroom shelf --done` has more.", "`stillroom shelf --done`"),
        ("Restored. To use it: stillroom begin --at shelf", "stillroom begin --at shelf"),
        ("Of the jar 250 ml are left, 45 % vol at most", "45 % vol"),
        ("As it is now, kept cold, it is good through 13 May, and no longer.", "13 May,"),
    ],
)
def test_a_command_an_amount_and_a_day_stay_in_one_line(line, kept):
    assert all(any(kept in one for one in hung(line, cells)) for cells in range(30, 60))


def test_a_line_that_is_a_command_is_left_to_the_terminal():
    line = "  stillroom --book /home/someone/herbs/book show CAOF-26-03"

    assert hung(line, 40) == [line]


def test_a_style_ends_with_its_line_and_begins_behind_the_blanks():
    first, second = hung("  hold       \x1b[1;97;41mon hold: the seal was broken\x1b[0m", 30)

    assert first == "  hold       \x1b[1;97;41mon hold: the seal\x1b[0m"
    assert second == "             \x1b[1;97;41mwas broken\x1b[0m"
