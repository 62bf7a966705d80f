"""Faults let loose on the installed command: through strace, small disks and limits."""

import os
import shutil
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from tests.command import Command
from tests.journal.on_disk import check_chain

CHARGE = 'charge "Calendula officinalis" --dried 100g --pour "500 ml 45%" --when 2025-03-03'
# More calls than this on one small file would be a loop without an end.
MOST_STEPS = 40


def missing(what: str) -> None:
    """Skip, loudly, what this machine cannot do; fail where CI says that it must."""
    if os.environ.get("CI"):
        pytest.fail(f"FAULTS NOT INJECTED: {what}")
    pytest.skip(f"FAULTS NOT INJECTED: {what}")


def strace(*inject: str, path: Path | None = None, log: Path | None = None) -> tuple[str, ...]:
    """What to run a command under so that these faults happen, on one file if it is named."""
    found = shutil.which("strace")
    if found is None:
        missing("strace is not installed (Debian: strace)")
    only = ("-P", str(path)) if path else ()
    faults = [part for one in inject for part in ("-e", f"inject={one}")]
    calls = ",".join(one.partition(":")[0] for one in inject)
    return (
        str(found), "-f", "-qq", "-o", str(log or os.devnull),
        "-e", f"trace={calls}", *only, *faults, "--",
    )  # fmt: skip


def stopped(process: "subprocess.Popen[str]", log: Path) -> int:
    """Wait till a signal has stopped what strace runs; its process id, for a signal to go on."""
    end = time.monotonic() + 60
    while time.monotonic() < end:
        for line in log.read_text().splitlines() if log.exists() else ():
            if "stopped by SIGSTOP" in line:
                return int(line.split()[0])
        assert process.poll() is None, process.communicate()
        time.sleep(0.01)
    raise AssertionError("nothing stopped it")


@contextmanager
def small_disk(place: Path, *options: str) -> Iterator[Path]:
    """A disk of 64 kB at a folder, taken away afterwards."""
    place.mkdir(parents=True, exist_ok=True)
    mount = ["mount", "-t", "tmpfs", "-o", ",".join(["size=64k", *options]), "tmpfs", place]
    if os.geteuid() != 0 or subprocess.run(mount, capture_output=True, check=False).returncode:
        missing("a small disk needs root and leave to mount")
    try:
        yield place
    finally:
        subprocess.run(["umount", "-l", place], check=False)


class Log:
    """One writer's book under fire: what was acknowledged, and whether all of it is there."""

    def __init__(self, command: Command) -> None:
        self.command = command
        self.file = command.book / "events" / "bench.jsonl"
        self.acknowledged: list[str] = []
        self.tried: set[str] = set()

    def begin(self) -> "Log":
        """Charge the first jar."""
        self.command.ok(CHARGE)
        return self

    def note(self, text: str, *, under: tuple[str, ...] = ()) -> int:
        """Record a remark under a fault; the exit code. It never ends in a traceback."""
        self.tried.add(text)
        done = self.command.run("note CAOF-25-01", text, under=under)
        assert "Traceback" not in done.err, done.err
        if done.code == 0:
            assert done.out
            self.acknowledged.append(text)
        elif done.code > 0:  # below zero it was killed, and could say nothing
            assert "to do:" in done.err
            assert done.out == ""
        return done.code

    def check(self) -> None:
        """Every acknowledged event once and whole, the chain unbroken, the lock free."""
        notes = [line["data"].get("note") for line in check_chain(self.file)]
        kept = [note for note in notes if note is not None]
        assert [note for note in kept if note in self.acknowledged] == self.acknowledged
        # What was written whole but killed before it was acknowledged may be there, once.
        assert len(kept) == len(set(kept))
        assert set(kept) <= self.tried
        bench = self.command.bench()
        assert [damage for damage in bench.check() if not damage.pending] == []
        with bench.locked():
            pass
