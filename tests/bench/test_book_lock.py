"""One lock for one folder: whichever path leads to it, and however its holder ends."""

import errno
import fcntl
import os
import signal
import stat
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest

from tracker.bench.book_lock import HeldError, held, is_held

HOLD = """
import sys, time
from pathlib import Path
from tracker.bench.book_lock import held
with held(Path(sys.argv[1]), beside=Path(sys.argv[2]), timeout_s=5):
    print("held", flush=True)
    time.sleep(60)
"""


@pytest.fixture
def events(tmp_path) -> Path:
    folder = tmp_path / "book" / "events"
    folder.mkdir(parents=True)
    return folder


def lock(folder: Path, *, state: str = "state", timeout_s: float = 0, make: bool = False):
    beside = folder.parent / "never-used"
    return held(folder, beside=beside / state, timeout_s=timeout_s, make=make)


def spelt(events: Path, tmp_path: Path) -> list[Path]:
    """The same folder by other paths."""
    (tmp_path / "link").symlink_to(events.parent)
    return [events, tmp_path / "link" / "events", events / ".." / "events"]


def test_by_whichever_path_it_is_one_lock(events, tmp_path):
    for path in spelt(events, tmp_path):
        with lock(events):
            assert is_held(path, beside=tmp_path / "other-state" / "lock")
        assert not is_held(path, beside=tmp_path / "other-state" / "lock")


def test_a_killed_holder_frees_it_at_once(events, tmp_path):
    words = [sys.executable, "-c", HOLD, str(events), str(tmp_path / "lock")]
    with subprocess.Popen(words, stdout=subprocess.PIPE, text=True) as holder:
        assert holder.stdout is not None
        assert holder.stdout.readline() == "held\n"
        assert is_held(events, beside=tmp_path / "lock")
        holder.send_signal(signal.SIGKILL)
        holder.wait()

        assert not is_held(events, beside=tmp_path / "lock")


def test_a_child_that_outlives_its_parents_lock_does_not_keep_it(events):
    with lock(events):
        child = subprocess.Popen(["sleep", "60"])
    try:
        assert not is_held(events, beside=Path("unused"))
    finally:
        child.kill()
        child.wait()


def test_replaced_while_it_was_waited_for_the_folder_that_came_is_locked(events):
    """A synchronising tool, or somebody who restores a copy."""
    got = threading.Event()

    def wait() -> None:
        with lock(events, timeout_s=30):
            got.set()
            time.sleep(0.3)

    old = events.with_name("old")
    with lock(events):
        waiting = threading.Thread(target=wait)
        waiting.start()
        time.sleep(0.1)
        events.rename(old)
        events.mkdir()
    assert got.wait(30)
    assert is_held(events, beside=Path("unused"))
    assert not is_held(old, beside=Path("unused"))
    waiting.join()


@pytest.mark.parametrize("number", [errno.EBADF, errno.EINVAL, errno.ENOTSUP, errno.ENOLCK])
def test_where_no_folder_can_be_locked_a_file_beside_is(events, tmp_path, monkeypatch, number):
    flock = fcntl.flock

    def refused(descriptor: int, how: int) -> None:
        if stat.S_ISDIR(os.fstat(descriptor).st_mode):
            raise OSError(number, os.strerror(number))
        flock(descriptor, how)

    monkeypatch.setattr(fcntl, "flock", refused)
    beside = tmp_path / "state" / "lock"
    with held(events, beside=beside, timeout_s=0):
        assert beside.exists()
        with pytest.raises(HeldError), held(events, beside=beside, timeout_s=0):
            pass
    with held(events, beside=beside, timeout_s=0):
        pass


def test_what_was_made_for_nothing_goes_again_and_what_was_used_stays(tmp_path):
    events = tmp_path / "shelf" / "book" / "events"
    with lock(events, make=True):
        assert events.is_dir()
        assert events.parent.stat().st_mode & 0o777 == 0o700
    assert not (tmp_path / "shelf").exists()

    with lock(events, make=True):
        (events / "bench.jsonl").touch()
    assert (events / "bench.jsonl").exists()


def test_of_many_that_make_and_unmake_each_has_it_alone(tmp_path):
    events, inside, most = tmp_path / "book" / "events", [], []

    def use() -> None:
        for _ in range(20):
            with lock(events, timeout_s=60, make=True):
                inside.append(1)
                most.append(len(inside))
                assert events.is_dir()
                inside.pop()

    threads = [threading.Thread(target=use) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert len(most) == 80
    assert max(most) == 1
    # The folder above may be left, empty: who made it may find what another made in it meanwhile.
    assert not events.exists()


def test_a_link_that_leads_nowhere_is_an_error_and_no_endless_wait(tmp_path):
    (tmp_path / "events").symlink_to(tmp_path / "nowhere")
    with pytest.raises(FileNotFoundError), lock(tmp_path / "events", timeout_s=20, make=True):
        pass
