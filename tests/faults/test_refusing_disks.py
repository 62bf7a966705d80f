"""Disks that fill up, fail, or cannot be written: the record is refused, never half made."""

import re
import shutil
import subprocess

import pytest

from tests.cli.test_odd_books import _without_the_powers_of_root
from tests.command import Command
from tests.faults.injecting import MOST_STEPS, Log, small_disk, strace

pytestmark = pytest.mark.thorough

# What the disk answers, and where. A second fsync after a failed one would succeed on Linux
# though the page is gone (PostgreSQL's wiki, "Fsync Errors").
FAULTS = ("write:error=EIO", "write:error=ENOSPC", "fsync:error=EIO", "openat:error=EIO")


@pytest.mark.parametrize("fault", FAULTS)
def test_an_error_at_any_step_is_said_and_leaves_the_file_as_it_was(log, tmp_path, fault):
    """Or is got over: a look at the file that fails once is taken again."""
    trace, refused = tmp_path / "trace", 0
    for step in range(1, MOST_STEPS):
        before = log.file.read_bytes()
        under = strace(f"{fault}:when={step}", path=log.file, log=trace)
        code = log.note(f"step {step}", under=under)
        log.check()
        if "(INJECTED)" not in trace.read_text():
            break
        refused += code == 1
        assert (log.file.read_bytes() == before) == (code == 1)

    assert code == 0
    assert refused, "nothing was refused: is the fault injected at all?"


def test_after_a_failed_sync_nothing_is_synced_again_and_the_bytes_are_cut_back(log, tmp_path):
    trace = tmp_path / "trace"
    before = log.file.read_bytes()
    under = strace("fsync:error=EIO", "ftruncate:delay_enter=0", path=log.file, log=trace)

    assert log.note("lost page", under=under) == 1
    calls = re.findall(r"(fsync|ftruncate)\(", trace.read_text())
    assert calls == ["fsync", "ftruncate"]
    assert log.file.read_bytes() == before
    assert log.note("and again") == 0
    log.check()


def test_a_write_that_says_more_than_it_did_is_not_believed(log):
    """A driver that lies: ten bytes are said to be written and are not."""
    before = log.file.read_bytes()
    under = strace("write:retval=10:when=1", path=log.file)

    assert log.note("short of ten bytes", under=under) == 1
    assert log.file.read_bytes() == before


def test_a_disk_that_fills_up_keeps_every_acknowledged_event(tmp_path):
    """64 kB: a true short write, and then ENOSPC."""
    command = Command(tmp_path)
    with small_disk(command.book) as disk:
        log = Log(command).begin()
        filler = disk / "events" / ".filler.tmp"
        free = shutil.disk_usage(disk).free
        filler.write_bytes(b"x" * (free - 3 * 4096))
        ended = 0
        for number in range(MOST_STEPS):
            ended = log.note(f"{number} {'y' * 1900}")
            log.check()
            if ended:
                break
        assert ended == 1
        assert len(log.acknowledged) > 2
        assert log.command.run("show CAOF-25-01").code == 0

        filler.unlink()
        assert log.note("there is room again") == 0
        log.check()


def test_a_disk_mounted_read_only_can_be_asked_and_refuses_a_record(tmp_path):
    command = Command(tmp_path)
    with small_disk(command.book) as disk:
        log = Log(command).begin()
        before = log.file.read_bytes()
        subprocess.run(["mount", "-o", "remount,ro", disk], check=True)

        assert log.note("not now") == 1
        assert command.run("show CAOF-25-01").code == 0
        assert command.run("check").code == 0
        assert log.file.read_bytes() == before


def test_a_file_that_cannot_be_read_is_said_and_nothing_is_recorded_meanwhile(seven):
    """Another writer's: what it holds may change what can be recorded."""
    other = seven.book / "events" / "cellar-bo.jsonl"
    other.write_bytes((seven.book / "events" / "bench.jsonl").read_bytes())
    under = _without_the_powers_of_root() or ("env",)
    other.chmod(0)

    asked = seven.run("show CAOF-25-01", under=under)
    assert asked.code == 0
    assert "INCOMPLETE" in asked.err
    checked = seven.run("check", under=under)
    assert checked.code == 1
    assert "cellar-bo.jsonl" in checked.out
    assert "cannot be read: Permission denied" in checked.out
    refused = seven.run("note CAOF-25-01 hello", under=under)
    assert refused.code == 1
    assert "cellar-bo.jsonl" in refused.err

    other.chmod(0o600)
    assert seven.run("check", under=under).code == 0
    assert seven.run("show CAOF-25-01", under=under).err == ""
    assert seven.run("note CAOF-25-01 hello", under=under).code == 0
