"""What a few things are, each with its name at the left: one a line, wrapped at words."""

from collections.abc import Iterable, Iterator

from tracker.core.values.text import shown
from tracker.outputs.terminal.wrapping import hanging

_NAME_CELLS = 13


def named_rows(rows: Iterable[tuple[str, str]], columns: int) -> Iterator[str]:
    """The rows as lines for a screen so wide, safe to print; a path is left whole, to be copied."""
    for name, text in rows:
        yield from hanging(f"{name:<{_NAME_CELLS}}", shown(text), columns, parts_words=False)
