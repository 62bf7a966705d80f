"""One book by several paths: its writers wait for each other, and it has one daemon."""

import json
import subprocess
import time
from copy import copy
from pathlib import Path

import pytest

from tests.command import Command
from tests.faults.injecting import CHARGE, missing
from tests.journal.on_disk import check_chain

pytestmark = pytest.mark.thorough

EACH = 4


def by(command: Command, book: Path, state: str) -> Command:
    """The same book for the same writer by another path, with another state folder and cache."""
    other = copy(command)
    other.book = book
    other.env = command.env | {
        "STILLROOM_BOOK": str(book),
        "XDG_STATE_HOME": str(command.home / state),
        "XDG_CACHE_HOME": str(command.home / f"{state}-cache"),
    }
    return other


def paths(command: Command, place: Path) -> list[Path]:
    """A bind mount, a link and another spelling; and the path itself."""
    place.mkdir()
    mounted = subprocess.run(["mount", "--bind", command.book, place], check=False)
    if mounted.returncode:
        missing("a bind mount needs root and leave to mount")
    link = command.home / "link"
    link.symlink_to(command.book)
    return [command.book, place, link, command.book / ".." / command.book.name]


def test_by_every_path_and_two_state_folders_nothing_is_lost_and_the_chain_is_whole(tmp_path):
    command = Command(tmp_path)
    command.ok(CHARGE)
    place = tmp_path / "mounted"
    try:
        running = [
            by(command, book, f"state-{number % 2}").start(
                f"note CAOF-25-01 '{number} {time}' --json"
            )
            for number, book in enumerate(paths(command, place))
            for time in range(EACH)
        ]
        told = [(process.communicate(timeout=120), process.returncode) for process in running]
    finally:
        subprocess.run(["umount", "-l", place], check=False)

    assert [code for _, code in told] == [0] * len(running), told
    answered = sorted(one["id"] for (out, _), _ in told for one in json.loads(out)["recorded"])
    lines = check_chain(command.book / "events" / "bench.jsonl")
    assert sorted(str(line["id"]) for line in lines[1:]) == answered
    assert [int(str(line["sequence"])) for line in lines] == list(range(1, len(lines) + 1))


def test_a_second_daemon_is_refused_by_whichever_path_it_comes(tmp_path):
    command = Command(tmp_path)
    command.ok(CHARGE)
    link = tmp_path / "link"
    link.symlink_to(command.book)
    other = by(command, link, "another-state")
    first = command.start("daemon")
    try:
        end = time.monotonic() + 30
        while "they run now" not in command.run("reminders status").out:
            assert time.monotonic() < end
        second = other.run("daemon")
        assert second.code == 1
        assert "already reminds" in second.err
    finally:
        first.terminate()
        first.communicate(timeout=30)
    assert "off; " in other.run("reminders status").out
