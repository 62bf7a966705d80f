"""Python's search for cycles of garbage, and when there is nothing for it to find."""

import gc
from collections.abc import Iterator
from contextlib import contextmanager


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
