"""A sample of what scripts/fault_machine.py does, and that its witness does not sleep."""

import os
import re
import subprocess
import sys
from dataclasses import replace
from importlib import import_module
from pathlib import Path

import pytest

pytestmark = pytest.mark.thorough

SCRIPTS = Path(__file__).parents[2] / "scripts"
EVENTS = "book/events/bench.jsonl"


@pytest.fixture(scope="module")
def machine():
    """The machine's modules by name; what a run needs is imported once, for every fork."""
    with pytest.MonkeyPatch.context() as patch:
        patch.syspath_prepend(str(SCRIPTS))
        names = ("cases", "children", "machine", "scenarios")
        found = {name: import_module(f"faults.{name}") for name in names}
    found["children"].warm_up()
    return type("Machine", (), found)


@pytest.fixture(scope="module")
def note(machine, tmp_path_factory):
    """The path of one remark, ready to be disturbed."""
    return machine.machine.Way(machine.scenarios.SCENARIOS["note"], tmp_path_factory.mktemp("way"))


def test_a_sample_of_all_faults_breaks_no_promise():
    drawn = ("--sample", "132", "--pairs", "2", "--strace", "0", "--cuts", "0", "--seed", "7")
    done = subprocess.run(
        [sys.executable, str(SCRIPTS / "fault_machine.py"), "--jobs", "2", *drawn],
        capture_output=True,
        text=True,
        check=False,
    )

    assert "Traceback" not in done.stderr, done.stderr
    assert "BROKEN" not in done.stdout, done.stdout
    assert done.returncode == 0
    assert int(re.findall(r"^(\d+) faults, ", done.stdout, re.M)[0]) > 90


def _says_yes(home):
    return 0


def _twice(home):
    words = ("note", "CAOF-26-01", "smells as it should")
    return [_recorded(home, *words), _recorded(home, *words, "--sure")][-1]


def _refuses_and_records(home):
    _recorded(home, "note", "CAOF-26-01", "smells as it should")
    return 1


def _recorded(home, *words):
    return import_module("faults.children").command(words)(home)


def _takes_away(home):
    os.truncate(home / EVENTS, 100)
    return 1


def _glues(home):
    with (home / EVENTS).open("ab") as file:
        file.write(b'{"id":"not of the chain"}\n')
    return 1


def _records_and_forgets(home):
    """Nothing is left that could miss a line."""
    _recorded(home, "note", "CAOF-26-01", "smells as it should")
    for name in ("own-ends", "shelf-*"):
        for file in home.rglob(name):
            file.unlink()
    return 0


def _breaks(home):
    raise ZeroDivisionError


def _leaves(home):
    (home / "book" / "events" / ".bench.jsonl.17.tmp").write_bytes(b"half")
    return 1


def _opens(home):
    for name in ("book", "book/events", EVENTS):
        (home / name).chmod(0o755)
    return 1


@pytest.mark.parametrize(
    ("act", "verdict"),
    [
        (_says_yes, "lost"),
        (_twice, "half or more than was tried"),
        (_refuses_and_records, "refused but recorded"),
        (_refuses_and_records, "no words"),
        (_takes_away, "earlier bytes changed"),
        (_glues, "chain: line 5 does not fit the chain"),
        (_breaks, "traceback"),
        (_leaves, "left behind: book/events/.bench.jsonl.17.tmp"),
        (_opens, "not private: book/events/bench.jsonl"),
    ],
)
def test_the_witness_notices(machine, note, monkeypatch, act, verdict):
    """Else the sample above proves nothing."""
    monkeypatch.setattr(note, "scenario", replace(note.scenario, act=act))
    broken = note.judge(machine.cases.Case("note")).broken

    assert verdict in broken


def test_the_witness_notices_that_nobody_misses_what_a_tool_took(machine, note, monkeypatch):
    monkeypatch.setattr(note, "scenario", replace(note.scenario, act=_records_and_forgets))
    taken = (machine.cases.Fault("unlink", 1, "taken-away"),)
    broken = note.judge(machine.cases.Case("note", taken)).broken

    verbs = ("check", "shelf", "cold shelf")
    assert [f"taken: {verb} does not say so (5)" for verb in verbs] == [*broken[:3]]


def test_the_witness_notices_that_a_repeat_goes_unasked(machine, note, monkeypatch):
    """A second remark makes nothing more, and nobody asks about it."""
    again = replace(note.scenario, again=("note", "CAOF-26-01", "smells as it should"))
    monkeypatch.setattr(note._witness, "scenario", again)
    monkeypatch.setattr(note._witness, "judged", set())
    broken = note.judge(machine.cases.Case("note")).broken

    assert any(one.startswith("afterwards: a repeat is not asked about") for one in broken)


def _unsynced(act):
    def run(home):
        os.fsync = lambda descriptor: None  # in a child that ends with it
        return act(home)

    return run


def test_the_simulated_cut_loses_what_is_not_synced(machine, note, tmp_path):
    scenario = machine.scenarios.SCENARIOS["note"]
    without = machine.machine.Way(replace(scenario, act=_unsynced(scenario.act)), tmp_path)
    end = len(without.undisturbed.changes)
    lost = [way.judge(machine.cases.Case("note", cut=(end, 0))).broken for way in (without, note)]

    assert "lost" in lost[0]
    assert lost[1] == ()
