"""How often functions are called: steps are counted, since seconds depend on the machine."""

import sys
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType


@contextmanager
def counted(*functions: Callable[..., object]) -> Iterator[Counter[str]]:
    """The calls of these functions while this is open, by their names."""
    names = {one.__code__: one.__name__ for one in functions}
    calls: Counter[str] = Counter(dict.fromkeys(names.values(), 0))

    def note(frame: FrameType, event: str, _: object) -> None:
        if event == "call" and frame.f_code in names:
            calls[names[frame.f_code]] += 1

    before = sys.getprofile()
    sys.setprofile(note)
    try:
        yield calls
    finally:
        sys.setprofile(before)
