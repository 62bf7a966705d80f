"""What a few things are, each with its name at the left: one a line, wrapped at words."""

from collections.abc import Iterable, Iterator
from textwrap import wrap

from tracker.core.values.text import shown

_NAME_CELLS = 13


def named_rows(rows: Iterable[tuple[str, str]], columns: int) -> Iterator[str]:
    """The rows as lines for a screen so wide, safe to print; a path is left whole, to be copied."""
    cells = max(columns - _NAME_CELLS, _NAME_CELLS)
    for name, text in rows:
        head = name
        for line in wrap(shown(text), cells, break_long_words=False, break_on_hyphens=False):
            yield f"{head:<{_NAME_CELLS}}{line}"
            head = ""
