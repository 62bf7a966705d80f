"""kill -9 at every step of recording, until the step after the last is never reached."""

import shutil
import subprocess

import pytest

from tests.faults.injecting import CHARGE, MOST_STEPS, missing, strace
from tests.journal.on_disk import check_chain

pytestmark = pytest.mark.thorough

# Every call that opens, changes, syncs or leaves the writer's file.
CALLS = ("openat", "write", "fsync", "close")


def test_killed_at_any_step_on_its_file_nothing_acknowledged_is_lost(log):
    ended = {call: _killed_at_every(call, log) for call in CALLS}

    assert all(codes[-1] == 0 for codes in ended.values())
    assert len(log.acknowledged) == len(CALLS)
    assert len(ended["openat"]) > 2
    assert len(ended["write"]) > 1
    assert len(ended["fsync"]) > 1


def _killed_at_every(call, log, torn=b""):
    """Record until the call after the last is never reached; how each run ended."""
    ended = []
    for step in range(1, MOST_STEPS):
        if torn and log.file.read_bytes().endswith(b"\n"):
            with log.file.open("ab") as file:
                file.write(torn)
        fault = strace(f"{call}:signal=SIGKILL:when={step}", path=log.file)
        ended.append(log.note(f"{call} {step}", under=fault))
        log.check()
        if ended[-1] == 0:
            break
    return ended


def test_killed_while_setting_a_torn_tail_aside_the_tail_is_never_glued_on(log):
    """The second fault falls into the mending of the first."""
    torn = log.file.read_bytes()[:100]
    ended = {call: _killed_at_every(call, log, torn) for call in ("ftruncate", "write", "fsync")}

    assert [len(codes) > 1 and codes[-1] == 0 for codes in ended.values()] == [True] * 3
    kept = [path.read_bytes() for path in log.command.state.rglob("*.torn")]
    assert len(kept) >= 6
    assert set(kept) == {torn}


def test_killed_anywhere_in_beginning_a_book_the_next_charge_begins_it(command):
    """No path: the folders and the file are not there yet to be named."""
    ended = []
    for step in range(1, MOST_STEPS):
        fault = strace(f"mkdir,fsync:signal=SIGKILL:when={step}")
        ended.append(command.run(f"{CHARGE} --sure", under=fault).code)
        if ended[-1] == 0:
            break
        shutil.rmtree(command.state, ignore_errors=True)

    assert ended[-1] == 0
    assert len(ended) > 4
    charges = check_chain(command.book / "events" / "bench.jsonl")
    assert 1 <= len(charges) <= len(ended)
    assert command.run("check").code == 0


def test_killed_after_a_short_write_the_fragment_is_set_aside(log):
    """A file that may grow by a few bytes only: the system writes what fits; then the kill."""
    if subprocess.run(["prlimit", "--version"], capture_output=True, check=False).returncode:
        missing("prlimit is not installed (Debian: util-linux)")
    for number in range(60):  # longer than the read model, which the limit holds for as well
        log.tried.add(f"{number} {'x' * 1900}")
    _fill(log)
    before = log.file.read_bytes()
    limit = ("prlimit", f"--fsize={len(before) + 50}", "--")
    kill = strace("write:signal=SIGKILL:when=2", path=log.file)

    assert log.note("cut short", under=(*kill[:-1], "--", *limit)) != 0
    assert log.file.read_bytes()[: len(before)] == before
    assert len(log.file.read_bytes()) == len(before) + 50
    log.check()
    assert log.note("after it") == 0
    log.check()
    assert [len(path.read_bytes()) for path in log.command.state.rglob("*.torn")] == [50]


def _fill(log):
    """Long remarks, written as the command writes them but in this process."""
    from tracker.bench.record import record
    from tracker.core.facts.amendments import Noted
    from tracker.core.facts.fields import About
    from tracker.core.rules.recorded import Draft
    from tracker.core.values.times import When

    bench = log.command.bench()
    jar = bench.find("CAOF-25-01").jar
    notes = [Noted(about=About(jar=jar.id), note=text) for text in sorted(log.tried)]
    drafts = [Draft(bench.new_id(), jar.code, When(bench.now()), note) for note in notes]
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("STILLROOM_WRITER", "bench")
        record(bench, drafts)
    log.acknowledged += sorted(log.tried)
