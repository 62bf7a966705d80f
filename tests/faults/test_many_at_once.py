"""Eight processes at once on one book, and a file that is replaced under them."""

import json
import os
import signal

import pytest

from tests.faults.injecting import stopped, strace
from tests.journal.on_disk import check_chain, put

pytestmark = pytest.mark.thorough

PROCESSES = 8
# Fourteen pours written at length and a long remark, four bytes a letter: a line of some 20 kB.
POURS = ["--pour", f"1 ml 45% {'🌿' * 180}"] * 14
LONG = "🌿" * 1990


def test_eight_processes_record_long_lines_each_once_whole_and_chained(log):
    running = [
        log.command.start("top-up CAOF-25-01 --json", *POURS, "--note", f"{one} {LONG}")
        for one in range(PROCESSES)
    ]
    told = [(process.communicate(timeout=120), process.returncode) for process in running]

    assert [code for _, code in told] == [0] * PROCESSES, told
    answered = [event["id"] for (out, _), _ in told for event in json.loads(out)["recorded"]]
    lines = check_chain(log.file)
    assert sorted(str(line["id"]) for line in lines[1:]) == sorted(answered)
    assert len(set(answered)) == PROCESSES
    assert min(len(line) for line in log.file.read_bytes().splitlines()[1:]) > 19_000
    assert log.command.run("check").code == 0


def test_a_file_renamed_over_ours_between_two_records_is_the_one_written_to(log):
    """A synchronising tool brings back what it holds."""
    log.note("on the file that is replaced")
    put(log.file, log.file.read_bytes())
    log.note("on the file that replaced it")
    log.check()

    assert len(check_chain(log.file)) == 3


def test_a_file_renamed_over_ours_during_the_write_is_noticed(log):
    """Held between the write and the look at the name, and the file replaced meanwhile."""
    whole, calls = log.file.read_bytes(), log.command.home / "calls"
    under = strace("fsync:signal=SIGSTOP:when=1", path=log.file, log=calls)
    process = log.command.start("note CAOF-25-01 'while it was replaced'", under=under)
    held = stopped(process, calls)
    assert log.file.read_bytes() != whole
    put(log.file, whole)
    os.kill(held, signal.SIGCONT)
    _, err = process.communicate(timeout=60)

    assert process.returncode == 0, err
    notes = [line["data"].get("note") for line in check_chain(log.file)]
    assert notes == [None, "while it was replaced"]
