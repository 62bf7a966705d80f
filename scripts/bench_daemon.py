#!/usr/bin/env python3
"""What a daemon costs while nothing happens, and how soon it sees what is recorded.

    .venv/bin/python scripts/bench_daemon.py [--minutes 10] [--sizes 10000 100000]

A real process for each book, which has told its digest on a terminal of its own: how much of a
processor it takes, and its memory. The floor of that is a process that loads the same libraries
and waits. Then a page is kept, and a shake recorded: how long until it is there.
Linux only, as is `/proc`.
"""

import argparse
import os
import pty
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import Final

sys.path.insert(0, str(Path(__file__).parent))

from bench_book import write_book
from bench_page import STILLROOM, said

from tracker.core.practice.practice import PRACTICE_FILE
from tracker.daemon.page_folder import PAGE

SIZES: Final = (10_000, 100_000)
MOST_PERCENT, MOST_MIB, MOST_TIMES, MOST_S = 0.05, 60.0, 2.0, 3.0
MOST_WITH_PAGE_MIB = 80.0  # just after a change: it has loaded what folds lines and sets the page
PATIENCE_S: Final = 90.0
# From midnight on it is always time for a digest.
ALWAYS: Final = 'zone = "UTC"\n[reminders]\ndigest = "00:00"\n"waking until" = "00:00"\n'
FLOOR: Final = """
import logging, sqlite3, time
import apscheduler.schedulers.background, msgspec, typer
print("ready", flush=True)
time.sleep(3600)
"""


class Shelf:
    """A book, its state and cache, and the daemon that watches it."""

    def __init__(self, folder: Path, events: int) -> None:
        self.folder, self.book = folder, folder / "book"
        write_book(self.book, events)
        (self.book / PRACTICE_FILE).write_text(ALWAYS)
        self.env = os.environ | {
            "XDG_CACHE_HOME": str(folder / "cache"),
            "XDG_STATE_HOME": str(folder / "state"),
            "XDG_CONFIG_HOME": str(folder / "config"),
        }
        for name in ("PYTHONDONTWRITEBYTECODE", "DBUS_SESSION_BUS_ADDRESS", "XDG_RUNTIME_DIR"):
            self.env.pop(name, None)
        self.stillroom("due")

    def stillroom(self, *words: str) -> str:
        """What the command answers."""
        command = [str(STILLROOM), "--book", str(self.book), *words]
        return subprocess.run(
            command, env=self.env, check=True, capture_output=True, text=True
        ).stdout

    @contextmanager
    def watched(self) -> Iterator[int]:
        """A daemon on a terminal of its own, by its process; it has told its digest."""
        ours, theirs = pty.openpty()
        log = self.folder / "log"
        with log.open("wb") as errors:
            command = [str(STILLROOM), "--book", str(self.book), "daemon"]
            process = subprocess.Popen(command, env=self.env, stdout=theirs, stderr=errors)
            try:
                os.read(ours, 65536)  # the digest, or its beginning
                _until(lambda: "told " in log.read_text())
                yield process.pid
            finally:
                process.terminate()
                process.wait()
                os.close(ours)
                os.close(theirs)

    def seen_after(self) -> tuple[float, float]:
        """How many s after it was recorded a shake is on the kept page, and the MiB after that."""
        (self.folder / "page").mkdir()
        (self.book / PRACTICE_FILE).write_text(
            f'{ALWAYS}[page]\nfolder = "{self.folder / "page"}"\n'
        )
        page = self.folder / "page" / PAGE
        shutil.rmtree(self.folder / "state")  # so that it tells, and is known to be there
        with self.watched() as process:
            _until(page.exists)
            time.sleep(3)  # it rests for a while after its work
            written, code = page.stat().st_mtime_ns, self._steeping()
            self.stillroom("shake", code)
            began = time.monotonic()
            _until(lambda: page.stat().st_mtime_ns != written)
            seen_s = time.monotonic() - began
            time.sleep(1)
            return seen_s, resident_mib(process)

    def _steeping(self) -> str:
        found = re.search(r"BENCH-\d+", self.stillroom("shelf"))
        assert found is not None
        return found[0]


def _until(holds: Callable[[], bool]) -> None:
    end = time.monotonic() + PATIENCE_S
    while not holds():
        if time.monotonic() > end:
            raise SystemExit("the daemon did not do what it was waited for")
        time.sleep(0.02)


def cpu_s(process: int) -> float:
    """Processor time a process has used: proc(5), stat fields 14 and 15."""
    fields = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def resident_mib(process: int) -> float:
    """Its memory now: proc(5), VmRSS."""
    found = re.search(r"VmRSS:\s+(\d+)", Path(f"/proc/{process}/status").read_text())
    assert found is not None
    return int(found[1]) / 1024


def floor_mib() -> float:
    """The same of a process that loads the libraries, and waits."""
    command = [sys.executable, "-c", FLOOR]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        process.stdout.readline()
        found = resident_mib(process.pid)
        process.terminate()
    return found


def figures(minutes: float = 1.0, sizes: Sequence[int] = SIZES) -> list[tuple[str, float, float]]:
    """Each figure by name, with its limit."""
    found: list[tuple[str, float, float]] = []
    floor = floor_mib()
    with tempfile.TemporaryDirectory() as folder:
        shelves = {size: Shelf(Path(folder) / str(size), size) for size in sizes}
        with ExitStack() as running:
            pids = {size: running.enter_context(one.watched()) for size, one in shelves.items()}
            before = {size: cpu_s(pid) for size, pid in pids.items()}
            time.sleep(minutes * 60)
            for size, pid in pids.items():
                percent = (cpu_s(pid) - before[size]) / (minutes * 60) * 100
                mib = resident_mib(pid)
                found += [
                    (f"daemon, {size} events, % of a processor", percent, MOST_PERCENT),
                    (f"daemon, {size} events, MiB", mib, MOST_MIB),
                    (f"daemon, {size} events, memory / floor", mib / floor, MOST_TIMES),
                ]
        for size, one in shelves.items():
            seen_s, mib = one.seen_after()
            found.append((f"daemon, {size} events, a change seen, s", seen_s, MOST_S))
            found.append((f"daemon, {size} events, with its page, MiB", mib, MOST_WITH_PAGE_MIB))
    return found


def main() -> int:
    """Measure and say; 1 where a limit is passed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--minutes", type=float, default=10.0)
    parser.add_argument("--sizes", type=int, nargs="+", default=SIZES)
    given = parser.parse_args()
    return said(figures(given.minutes, given.sizes))


if __name__ == "__main__":
    sys.exit(main())
