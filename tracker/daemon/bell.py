"""What ends the wait between two beats: its time, a signal, or a change of the book."""

import select
import signal
import socket
from contextlib import suppress
from pathlib import Path
from time import monotonic
from types import TracebackType

from tracker.daemon.book_watch import BookWatch

# A change is a few writes in a row: it is over once it was quiet so long, or has gone on so long.
QUIET_S = 0.1
CHANGING_S = 1.0
# What changes all the time has the daemon at work for no more than a tenth of it.
REST_S = 1.0
RESTS = 10.0


class Bell:
    """Waits on the monotonic clock. One at a time, in the main thread, where signals arrive."""

    def __init__(self, book: Path) -> None:
        self.is_over = False
        self._watch = BookWatch(book)
        self._heard, self._rung = socket.socketpair()
        self._woken_before = -1

    def __enter__(self) -> "Bell":
        """From now on SIGTERM, SIGINT and SIGHUP end it."""
        for end in (self._heard, self._rung):
            end.setblocking(False)
        # The system rings, so that no lock of Python's is in the way of a signal.
        self._woken_before = signal.set_wakeup_fd(self._rung.fileno(), warn_on_full_buffer=False)
        for name in ("SIGTERM", "SIGINT", "SIGHUP"):
            number = getattr(signal, name, None)  # Windows has no SIGHUP
            # A signal that nohup or a shell's & ignores stays ignored.
            if number and signal.getsignal(number) is not signal.SIG_IGN:
                signal.signal(number, self._end)
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        fault: BaseException | None,
        at: TracebackType | None,
    ) -> None:
        signal.set_wakeup_fd(self._woken_before)
        for end in (self._watch, self._heard, self._rung):
            end.close()

    def _end(self, *_: object) -> None:
        self.is_over = True

    def aim(self) -> None:
        """Before the book is read: what changes from then on ends the next wait."""
        self._watch.aim()
        self._watch.has_changed()

    def wait(self, most_s: float, *, worked_s: float = 0.0) -> None:
        """Return after so long, at a signal, or once the book has changed and is still again.

        Args:
            most_s: how long at most.
            worked_s: how long the beat before took, after which comes a rest in proportion.
        """
        end = monotonic() + most_s
        self._until(min(monotonic() + max(REST_S, RESTS * worked_s), end))
        while not self.is_over and monotonic() < end:
            if self._until(end, watching=True):
                if self._watch.has_changed():
                    self._settle()
                    return
                # Something else in the book's folder, which may go on all the time.
                self._until(min(monotonic() + QUIET_S, end))

    def _settle(self) -> None:
        end = monotonic() + CHANGING_S
        while not self.is_over and self._until(min(monotonic() + QUIET_S, end), watching=True):
            self._watch.has_changed()

    def _until(self, end: float, *, watching: bool = False) -> bool:
        """Wait until then, or for a signal; whether the system told a change before that."""
        watch = self._watch.descriptor if watching else None
        while not self.is_over and (left := end - monotonic()) > 0:
            ends: list[socket.socket | int] = [self._heard, *([] if watch is None else [watch])]
            readable, _, _ = select.select(ends, [], [], left)
            if watch in readable:
                return True
            with suppress(BlockingIOError):
                self._heard.recv(4096)
        return False
