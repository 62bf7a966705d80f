"""Memory that is done with: when not to look for it, and giving it back."""

import gc
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress


@contextmanager
def no_garbage_collection() -> Iterator[None]:
    """Where much is made that is part of no cycle, looking for one takes longer than making it."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def give_back_memory() -> None:
    """Let the system have what was let go of: glibc keeps it, a quarter of a daemon with a page."""
    if sys.platform == "linux":
        import ctypes

        with suppress(AttributeError, OSError):  # another C library
            ctypes.CDLL(None).malloc_trim(0)
