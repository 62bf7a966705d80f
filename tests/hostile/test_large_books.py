"""Books of one shape: four times the lines take about four times the steps, and never the stack."""

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from types import FrameType

import pytest

from tests.command import Command
from tests.hostile import large_books
from tests.hostile.asked import held_to
from tests.hostile.books import codes_there, put
from tests.hostile.large_books import SHAPES
from tracker.core.reckoning.flows import named_lots
from tracker.core.reckoning.flows.flow_graph import forwards, graph_of, node_of
from tracker.core.reckoning.flows.lot_shares import LotShares
from tracker.core.reckoning.flows.not_on_hold import not_held
from tracker.core.reckoning.flows.recall import holders
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


def test_very_many_lots_of_one_number_are_traced_in_steps_that_grow_as_they_do():
    calls = []
    for size in (SMALL, LARGE):
        shelf = replay(SHAPES["lots_of_one_number"](size))
        lots = list(shelf.lots.values())
        calls.append(calls_of(lambda on=shelf.batches, of=lots: traced(of[0], on, of)))

    assert calls[1] / calls[0] < 6


def test_what_is_on_no_hold_of_very_many_recalls_is_found_in_steps_that_grow_as_they_do():
    calls = []
    for size in (SMALL, LARGE):
        shelf = replay(SHAPES["every_lot_recalled"](size))
        batches, lots = list(shelf.batches), list(shelf.lots.values())
        calls.append(calls_of(lambda on=batches, of=lots: not_held(on, of)))
        assert len(not_held(batches, lots)) == size // 3

    assert calls[1] / calls[0] < 6


def traced(lot, batches, lots):
    start = node_of(lot)
    lines = forwards(graph_of(batches, lots), start)
    LotShares(start, batches, lots)
    return holders(lines)


@pytest.mark.parametrize("line", ["trace LOT-25-0000 --json", "recall LOT-25-0000 --why x"])
def test_a_lot_in_very_many_jars_is_answered_in_steps_that_grow_as_they_do(tmp_path, line):
    calls = []
    for size in (40, SMALL, LARGE):  # the first imports what the others need
        command = Command(tmp_path / str(size))
        command.practice('zone = "Europe/Berlin"\n')
        put(command.book, large_books.WRITER, SHAPES["lots_of_one_number"](size))
        command.ok("shelf")
        calls.append(calls_of(lambda on=command: on.ok(line)))

    assert calls[2] / calls[1] < 6


@pytest.mark.parametrize("shape", ["lots_of_one_number", "named_by_all"])
def test_a_number_of_many_lots_leads_where_each_of_them_would(shape, monkeypatch):
    shelf = replay(SHAPES["lots_of_one_number"](40))
    lots, batches = list(shelf.lots.values()), list(shelf.batches)
    if shape == "named_by_all":
        for jar in shelf.jars.values():
            jar.uses = ()
    made = {lot.code: traced(lot, batches, lots) for lot in lots}
    monkeypatch.setattr(named_lots, "_FEW", 100)

    assert {lot.code: sorted(traced(lot, batches, lots)) for lot in lots} == {
        code: sorted(found) for code, found in made.items()
    }
    assert all(len(found) == 20 for found in made.values())


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


# The most memory of a process so far: proc(5), VmHWM.
ASKING = """
import re, sys
from pathlib import Path
from tracker.cli.main import main
try:
    main()
finally:
    most = re.search(r"VmHWM:\\s+(\\d+)", Path("/proc/self/status").read_text())
    print(most[1], file=sys.stderr)
"""
MOST_MIB = 200


@pytest.mark.thorough
@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="the system has no proc(5)")
@pytest.mark.parametrize(
    ("shape", "line"),
    [
        ("jars_of_one_code", "shelf"),
        ("jars_of_one_code", "shelf --json"),
        ("jars_of_one_code", "supply"),
        ("lots_of_one_number", "trace LOT-25-0001"),
        ("remarks_about_nothing", "check"),
    ],
)
def test_ten_thousand_lines_take_little_memory(tmp_path, shape, line):
    command = Command(tmp_path)
    command.practice('zone = "Europe/Berlin"\n')
    put(command.book, large_books.WRITER, SHAPES[shape](10_000))
    words = [sys.executable, "-c", ASKING, "--book", str(command.book), *line.split()]
    kept = {"XDG_CACHE_HOME": str(tmp_path / "cache"), "XDG_STATE_HOME": str(tmp_path / "state")}
    ended = subprocess.run(words, env={**os.environ, **kept}, capture_output=True, text=True)

    assert ended.returncode == 0, ended.stderr
    assert int(ended.stderr.split()[-1]) < MOST_MIB * 1024


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
