"""Books of one shape: four times the lines take about four times the steps, and never the stack."""

import sys
from collections.abc import Callable
from types import FrameType

import pytest

from tests.command import Command
from tests.hostile import large_books
from tests.hostile.asked import held_to
from tests.hostile.books import codes_there, put
from tests.hostile.large_books import SHAPES
from tracker.core.replay.replay import replay

# What each link of a chain is made of names each link before it; a recall stands in the history
# of every jar that it names.
GROWS = {
    "pours_of_pours",
    "topped_up_for_ever",
    "bottles_that_are_not_there",
    "recalled_over_and_over",
}
SMALL, LARGE = 100, 400
QUESTIONS = (
    "shelf --done", "stock", "due", "lots --all", "recall", "trace --for C03", "calendar", "check",
    "batches calendula", "yields",
)  # fmt: skip
ABOUT_ONE = (
    "show",
    "history",
    "timeline",
    "trace",
    "record",
    "strength",
    "note --note x --dry-run",
)


def calls_of(work: Callable[[], object]) -> int:
    """How many functions are called, of this program or of any other."""
    calls = 0

    def note(_: FrameType, event: str, __: object) -> None:
        nonlocal calls
        calls += event == "call"

    before = sys.getprofile()
    sys.setprofile(note)
    try:
        work()
    finally:
        sys.setprofile(before)
    return calls


@pytest.mark.parametrize("shape", SHAPES)
def test_four_times_the_lines_are_replayed_in_about_four_times_the_steps(shape):
    few, many = (SHAPES[shape](size) for size in (SMALL, LARGE))
    growth = calls_of(lambda: replay(many)) / calls_of(lambda: replay(few))

    assert growth < (16 if shape in GROWS else 6)


def test_every_shape_is_made():
    made = {name for name, one in vars(large_books).items() if getattr(one, "__doc__", None)}

    assert made >= SHAPES.keys()


@pytest.mark.thorough
@pytest.mark.parametrize("shape", SHAPES)
def test_a_large_book_is_asked_about(tmp_path, shape):
    """Chains deeper than the stack of the language, and more of one thing than anyone has."""
    command = Command(tmp_path)
    command.practice('zone = "Europe/Berlin"\n')
    put(command.book, large_books.WRITER, SHAPES[shape](250 if shape in GROWS else 1200))
    code = codes_there(command)[-1]
    for line in QUESTIONS:
        held_to(line, command.run(line))
    for line in ABOUT_ONE:
        verb, *words = line.split()
        held_to(line, command.run(verb, *words, "--", code))


@pytest.mark.thorough
def test_very_many_files_are_asked_about(tmp_path):
    """As many writers as lines."""
    command = Command(tmp_path)
    command.practice('zone = "Europe/Berlin"\n')
    for number, entry in enumerate(SHAPES["jars_of_one_code"](1000)):
        put(command.book, f"w{number}", [entry])
    for line in ("shelf", "due --json", "check", "lots"):
        answer = command.run(line)

        held_to(line, answer)
        assert answer.code == 0
