"""Ctrl-C while a line goes to the disk: it comes too late, and must not look like a refusal."""

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def uninterrupted() -> Iterator[None]:
    """Nothing in the block is broken off by an interrupt from the keyboard; one is dropped.

    What is done here takes a moment and ends in an answer or a clear error. Where the system
    cannot hold a signal back (Windows), one breaks in as always.
    """
    is_main = threading.current_thread() is threading.main_thread()
    if not is_main or not hasattr(signal, "pthread_sigmask"):  # others are never broken in on
        yield
        return
    keyboard = {signal.SIGINT}
    before = signal.pthread_sigmask(signal.SIG_BLOCK, keyboard)
    try:
        yield
    finally:
        if signal.SIGINT not in before:
            if signal.SIGINT in signal.sigpending():
                signal.sigwait(keyboard)
            signal.pthread_sigmask(signal.SIG_SETMASK, before)


def ignored_from_now_on() -> None:
    """What is recorded stays, and only its answer is left: an interrupt has nothing to stop."""
    if threading.current_thread() is threading.main_thread():
        signal.signal(signal.SIGINT, signal.SIG_IGN)
