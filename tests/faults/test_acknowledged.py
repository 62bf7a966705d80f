"""What is on the disk is recorded, and what is refused is not: there is nothing between."""

import os
import shutil

import pytest

from tests.command import Command
from tests.faults.injecting import CHARGE, MOST_STEPS, strace
from tracker.bench.open_book import OpenBook
from tracker.cli import answer
from tracker.journal import append, own_file
from tracker.journal.whole_file import sync_folder


def recorded(command: Command) -> int:
    return len(command.lines())


@pytest.mark.thorough
@pytest.mark.parametrize("call", ["fsync", "openat", "mkdir", "close"])
def test_a_failing_disk_at_any_step_of_beginning_a_book_refuses_or_acknowledges(tmp_path, call):
    """A new file has its folders synced: once that came last, and a refusal left the line there."""
    refused = 0
    for step in range(1, MOST_STEPS):
        command = Command(tmp_path / str(step))
        command.home.mkdir()
        trace = tmp_path / "trace"
        path = command.book / "events"
        only = None if call in ("mkdir", "fsync") else path / "bench.jsonl"
        if only is not None:  # strace follows what is there
            path.mkdir(parents=True)
            only.touch()
        done = command.run(
            CHARGE, under=strace(f"{call}:error=EIO:when={step}", path=only, log=trace)
        )
        if "(INJECTED)" not in trace.read_text():
            break
        assert "Traceback" not in done.err
        assert (done.code, recorded(command)) in ((0, 1), (1, 0)), (step, done)
        refused += done.code
    assert step > 1
    assert refused or call in ("close", "mkdir")


def test_folders_that_cannot_be_synced_refuse_a_first_record_and_leave_no_line(
    command, monkeypatch
):
    def failing(folder):
        raise OSError(5, os.strerror(5))

    monkeypatch.setattr(own_file, "sync_folder", failing)
    assert "Input/output error" in command.refused(CHARGE)
    monkeypatch.setattr(own_file, "sync_folder", sync_folder)
    command.ok(CHARGE)


def test_a_cache_that_fails_once_it_is_recorded_is_a_remark(command, monkeypatch):
    command.ok(CHARGE)

    def failing(*_):
        raise ValueError("a fault of ours")

    monkeypatch.setattr(OpenBook, "go_on", failing)
    done = command.run("press CAOF-25-01 370ml --when 2025-06-03")
    assert done.code == 0
    assert "370 ml" in done.out
    assert (
        "It is recorded, but what comes after recording failed (ValueError: a fault of ours)"
        in done.err
    )
    assert recorded(command) == 2

    done = command.run(
        "enter -", typed="note CAOF-25-01 dark\nshake CAOF-25-01 --when 2025-06-01\n"
    )
    assert done.code == 0, done.err
    assert "It is recorded" in done.err
    assert recorded(command) == 4


def test_an_answer_that_cannot_be_made_still_says_what_was_recorded(command, monkeypatch):
    command.ok(CHARGE)

    def failing(*_):
        raise KeyError("words")

    monkeypatch.setattr(answer, "reply", failing)
    done = command.run("press CAOF-25-01 370ml --when 2025-06-03")
    assert (done.code, done.out) == (0, "CAOF-25-01: pressed, recorded as 2.\n")
    assert "It is recorded" in done.err
    told = command.json("press CAOF-25-01 1ml --again --when 2025-06-04 --sure")
    assert [one["kind"] for one in told["recorded"]] == ["pressed_again"]
    assert recorded(command) == 3


def test_a_state_folder_that_cannot_be_written_refuses_no_record(command):
    command.ok(CHARGE)
    ends = next(command.state.rglob("own-ends"))
    ends.unlink()
    ends.mkdir()
    done = command.run("note CAOF-25-01 dark")

    assert done.code == 0
    assert "It is recorded" in done.err
    assert recorded(command) == 2


def test_a_line_that_the_disk_will_not_take_back_is_said_to_be_unknown(command, monkeypatch):
    command.ok(CHARGE)

    def failing(*_):
        raise OSError(5, os.strerror(5))

    monkeypatch.setattr(append.os, "fsync", failing)
    monkeypatch.setattr(append.os, "ftruncate", failing)
    done = command.run("note CAOF-25-01 dark")

    assert done.code == 1
    assert "whether it was recorded is not known" in done.err
    assert "nothing was recorded" not in done.err


@pytest.mark.parametrize("stands", ["link", "folder", "pipe"])
def test_nothing_is_written_where_no_plain_file_stands(command, stands):
    command.ok(CHARGE)
    own = command.book / "events" / "bench.jsonl"
    own.rename(command.home / "elsewhere.jsonl")
    if stands == "link":
        own.symlink_to(command.home / "elsewhere.jsonl")
    elif stands == "folder":
        own.mkdir()
    else:
        os.mkfifo(own)
    before = (command.home / "elsewhere.jsonl").read_bytes()
    done = command.run("charge 'Melissa officinalis' --dried 50g --pour '250 ml 45%' --sure")

    assert done.code == 1
    assert "A link, a folder or a device" in done.err
    assert (command.home / "elsewhere.jsonl").read_bytes() == before


@pytest.mark.parametrize("line", ["note CAOF-25-01 dark", f"{CHARGE} --count 3 --sure"])
def test_a_copy_that_takes_the_place_of_the_file_with_the_line_in_it_has_it_once(
    command, monkeypatch, line
):
    """The tool read the file right after the write, and renames what it read over it."""
    command.ok(CHARGE)
    own = command.book / "events" / "bench.jsonl"
    sync, copied = os.fsync, []

    def syncs(descriptor):
        sync(descriptor)
        if not copied and os.path.samestat(os.fstat(descriptor), own.stat()):
            copied.append(own.with_name(".copied.tmp"))
            copied[0].write_bytes(own.read_bytes())
            copied[0].replace(own)

    monkeypatch.setattr(append.os, "fsync", syncs)
    command.ok(line)
    monkeypatch.undo()

    assert len(copied) == 1
    assert recorded(command) == (4 if "charge" in line else 2)
    assert command.run("check").code == 0
    warm = command.ok("shelf --json")
    shutil.rmtree(command.cache)
    assert command.ok("shelf --json") == warm
