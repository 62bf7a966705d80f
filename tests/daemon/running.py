"""The daemon as a process of its own: what it says, its signals, and the clock it sees."""

import os
import re
import signal
import subprocess
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from queue import Empty, Queue
from threading import Thread
from time import monotonic
from zoneinfo import ZoneInfo

import pytest

from tests.command import PATIENCE_S, Command

HEARTBEAT_S = 0.3
# A digest hour beyond the waking hours is kept as said: from midnight on it is always time.
ALWAYS = 'zone = "Europe/Berlin"\n[reminders]\ndigest = "00:00"\n"waking until" = "00:00"\n'
AT_EIGHT = 'zone = "Europe/Berlin"\n[reminders]\ndigest = "08:00"\n'


class Daemon:
    """`stillroom daemon` for one book, with a short heartbeat, and every line it logs."""

    def __init__(self, command: Command, *more: str, under: Sequence[str] = ()) -> None:
        self.process = command.start(f"daemon --heartbeat {HEARTBEAT_S}", *more, under=under)
        self._lines: Queue[str | None] = Queue()
        self.log: list[str] = []
        self._reader = Thread(target=self._read)
        self._reader.start()

    def _read(self) -> None:
        assert self.process.stderr is not None
        for line in self.process.stderr:
            self._lines.put(line.rstrip())
        self._lines.put(None)

    def until(self, words: str) -> str:
        """The next line in which these words are found."""
        deadline = monotonic() + PATIENCE_S
        while (line := self._next(deadline)) is not None:
            if re.search(words, line):
                return line
        raise AssertionError(f"it ended without saying {words!r}:\n" + "\n".join(self.log))

    def _next(self, deadline: float) -> str | None:
        try:
            line = self._lines.get(timeout=max(deadline - monotonic(), 0))
        except Empty:
            raise AssertionError("it never said so:\n" + "\n".join(self.log[-40:])) from None
        if line is not None:
            self.log.append(line)
        return line

    def beats(self, count: int) -> None:
        """Let so many heartbeats pass on which it was not time."""
        for _ in range(count):
            self.until("not time")

    def told(self) -> list[str]:
        """The lines in which it said that it told something, so far."""
        return [line for line in self.log if re.search(r"told \d+ lines through [a-z]", line)]

    def stop(self) -> int:
        """End it by SIGTERM; its exit code."""
        self.process.terminate()
        return self.ended()

    def kill(self) -> None:
        """End it as a power cut would."""
        self.process.kill()
        self.ended()

    def ended(self) -> int:
        """Wait until it has ended; its exit code."""
        code = self.process.wait(timeout=PATIENCE_S)
        self._reader.join()
        assert self.process.stdout is not None
        assert self.process.stderr is not None
        self.process.stdout.close()
        self.process.stderr.close()
        while (line := self._lines.get()) is not None:
            self.log.append(line)
        return code

    @contextmanager
    def asleep(self) -> Iterator[None]:
        """As the lid of a laptop closes and opens."""
        self.process.send_signal(signal.SIGSTOP)
        try:
            yield
        finally:
            self.process.send_signal(signal.SIGCONT)


@contextmanager
def daemon(command: Command, *, under: Sequence[str] = ()) -> Iterator[Daemon]:
    """A daemon that ends with the test, however the test ends."""
    running = Daemon(command, under=under)
    try:
        yield running
    finally:
        if running.process.poll() is None:
            running.kill()


class WallClock:
    """The wall clock of the command's processes, set at will; the monotonic one runs on."""

    def __init__(self, command: Command) -> None:
        self._file = command.home / "faked-time"
        self._zone = ZoneInfo(command.zone)
        command.env |= {
            "LD_PRELOAD": str(_library()),
            "FAKETIME_TIMESTAMP_FILE": str(self._file),
            "FAKETIME_NO_CACHE": "1",
            "FAKETIME_DONT_FAKE_MONOTONIC": "1",
            "DONT_FAKE_MONOTONIC": "1",
            "NO_FAKE_STAT": "1",
        }

    def set(self, local: str) -> None:
        """Make it that local time from now on; it goes on from there."""
        wanted = datetime.fromisoformat(local).replace(tzinfo=self._zone)
        seconds = (wanted - datetime.now(UTC)).total_seconds()  # noqa: TID251 - the true clock
        fresh = self._file.with_suffix(".new")
        fresh.write_text(f"{seconds:+.0f}\n")
        fresh.replace(self._file)


def _library() -> Path:
    found = sorted(Path("/usr/lib").glob("*/faketime/libfaketimeMT.so.1"))
    if found:
        return found[0]
    words = "NOT TESTED, a clock set at will needs: apt-get install libfaketime"
    if os.environ.get("CI"):
        pytest.fail(words)
    pytest.skip(words)


def cpu_s(process: "subprocess.Popen[str]") -> float:
    """Processor time a process has used, user and system: proc(5), stat fields 14 and 15."""
    fields = Path(f"/proc/{process.pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def resident_mib(process: "subprocess.Popen[str]") -> float:
    """Its memory in MiB: proc(5), VmHWM, the most it ever had."""
    found = re.search(r"VmHWM:\s+(\d+) kB", Path(f"/proc/{process.pid}/status").read_text())
    assert found is not None
    return int(found[1]) / 1024
