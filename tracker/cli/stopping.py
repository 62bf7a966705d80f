"""Ctrl-C: it stops at once, but never between the bytes of a record and the word of it."""

import signal
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

# What shells answer for a command that was stopped by Ctrl-C: 128 and the number of SIGINT.
STOPPED = 130


@contextmanager
def not_stopped() -> Iterator[None]:
    """What is inside runs to its end; a Ctrl-C meanwhile counts after it.

    Raises:
        KeyboardInterrupt: there was one.
    """
    came: list[int] = []

    def remember(number: int, frame: FrameType | None) -> None:
        came.append(number)

    try:
        before = signal.signal(signal.SIGINT, remember)
    except ValueError:  # only the first thread of a process has signals
        yield
        return
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
    if came:
        raise KeyboardInterrupt
