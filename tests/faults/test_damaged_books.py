"""Every named damage: what is read around it, and which lines are named. And a short fuzz."""

import json
import shutil

import pytest

from scripts.fuzz import CORPUS, fuzz
from tests.command import Command

# How many of five events are still read, and the lines that `check` must name.
FOUND = {
    "whole": (5, []),
    "bit-flipped": (4, [2]),
    "line-edited": (4, [3]),
    # A line that is out of its place proves nothing, so it is left out with the one it misses.
    "line-deleted": (3, [3]),
    "line-inserted": (4, [3, 4]),
    "lines-swapped": (2, [2, 3, 4]),
    "byte-order-mark": (5, []),
    "carriage-returns": (5, []),
    "torn-tail": (4, []),
    "zeros-at-the-end": (5, []),
    "empty-lines": (5, [2, 4, 6, 8, 10]),
    # From here on the chain fits: somebody reckoned it anew, and only the JSON is wrong.
    "text-with-line-separator": (5, []),
    "not-utf-8": (4, [2]),
    "lone-surrogate": (4, [2]),
    "not-a-number": (4, [5]),
    "beyond-every-number": (4, [5]),
    "key-twice": (5, []),
    "deep-nesting": (4, [2]),
    "deep-nesting-unknown-kind": (4, [2]),
    "huge-line": (4, [2]),
    "no-json": (5, [1]),
    "an-array": (5, [1]),
    "no-digest": (3, [1, 2]),
    "digest-in-capitals": (3, [2, 3]),
    "unknown-kind": (5, []),
    "newer-version": (5, []),
    "unsaid-time": (4, [2]),
    # What cannot be reckoned with, or no writer gives.
    "time-at-its-end": (4, [2]),
    "time-before-all-time": (4, [2]),
    "recorded-at-the-end-of-time": (4, [2]),
    "day-at-the-end-of-time": (4, [2]),
    "period-beyond-a-hundred-years": (4, [1]),
    "shake-days-without-end": (4, [1]),
    "sequence-without-end": (4, [2]),
    "sequence-negative": (4, [2]),
    "number-of-5000-digits": (4, [2]),
    "source-empty": (4, [2]),
    "source-not-a-writer": (4, [2]),
    "id-empty": (4, [2]),
    "id-with-control-codes": (4, [2]),
    "kind-with-control-codes": (4, [2]),
    # Text is kept whatever it is, and shown so that it does nothing.
    "text-with-control-codes": (5, []),
    "last-line-no-json": (4, [5]),
    # One charge, three remarks of one command, one pressing: the remarks count together.
    "unit-whole": (5, []),
    "unit-torn-after-its-first-line": (1, []),
    "unit-torn-after-its-second-line": (1, []),
    "unit-torn-within-a-line": (1, []),
    "unit-first-line-edited": (2, [2, 3, 4]),
    "unit-middle-line-edited": (2, [2, 3, 4]),
    "unit-last-line-edited": (2, [2, 3, 4]),
    "unit-line-deleted": (2, [2, 3]),
    # The pressing is left out with the line it misses, as everywhere.
    "unit-end-deleted": (1, [2, 3, 4]),
    # The chain reckoned again: only the unit is not whole.
    "unit-never-finished": (2, [2, 3]),
    "unit-lines-swapped": (2, [2, 3, 4]),
    "unit-place-beyond-its-end": (2, [2, 3, 4]),
    "unit-of-another": (2, [2, 3, 4]),
    "unit-begun-twice": (5, [2]),
}


# Their ends are set aside when something is recorded, which `test_units.py` has.
_UNFINISHED = {name for name in FOUND if "torn" in name or "zeros" in name}


@pytest.mark.parametrize("name", FOUND)
def test_a_named_damage_costs_only_its_lines_and_each_is_named(tmp_path, name):
    command = Command(tmp_path)
    file = command.book / "events" / "bench.jsonl"
    file.parent.mkdir(parents=True)
    shutil.copy(CORPUS / f"{name}.jsonl", file)
    whole = file.read_bytes()
    kept, lines = FOUND[name]

    answer = command.run("check --json")
    report = json.loads(answer.out)
    assert [one["line"] for one in report["damages"]] == lines
    starts = [0, *(at + 1 for at, byte in enumerate(whole) if byte == ord("\n"))]
    assert [one["byte"] for one in report["damages"]] == [starts[line - 1] for line in lines]
    assert all(one["why"] for one in report["damages"])
    assert answer.code == (1 if lines else 0)
    assert ("INCOMPLETE" in command.run("shelf --done").err) == bool(lines)
    # The first line charges the jar: without it there is no history to show.
    if 1 not in lines or name in ("no-json", "an-array"):
        assert len(command.json("history CAOF-25-01")) == kept
    assert file.read_bytes() == whole


@pytest.mark.parametrize("name", sorted(FOUND.keys() - _UNFINISHED))
def test_what_is_recorded_after_a_damage_is_read(tmp_path, name):
    """The writer goes on from the very digest that the reader goes on from."""
    command = Command(tmp_path)
    file = command.book / "events" / "bench.jsonl"
    file.parent.mkdir(parents=True)
    shutil.copy(CORPUS / f"{name}.jsonl", file)
    _, lines = FOUND[name]

    answer = command.run("away 2025-07-01 2025-07-02")
    assert answer.code == 0, answer.err
    report = json.loads(command.run("check --json").out)
    assert [one["line"] for one in report["damages"]] == lines


def test_every_damaged_book_is_tested():
    assert {path.stem for path in CORPUS.glob("*.jsonl")} == FOUND.keys()


def test_a_short_fuzz_finds_no_crash_and_no_loss():
    """The long one: scripts/fuzz.py. The inputs are the same on every run."""
    assert fuzz(60, derandomize=True) >= 120
