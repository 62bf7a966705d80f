"""The screen: how wide it is, whether it takes colour, and a line printed on it."""

import os
import sys

TYPE_CHECKING = False  # typing loads as slowly as all else that a kept answer needs
if TYPE_CHECKING:
    from collections.abc import Sequence
    from typing import TextIO

_COLUMNS, _MOST = 80, 1000


def has_colour() -> bool:
    """Whether the screen takes colour, and NO_COLOR is not set (no-color.org)."""
    return sys.stdout.isatty() and not os.environ.get("NO_COLOR")


def columns() -> int:
    """Cells across the screen; in a pipe those that COLUMNS says, else 80."""
    return columns_of(sys.stdout) or _COLUMNS


def columns_of(stream: "TextIO") -> int | None:
    """Cells that the lines of a stream have; None in a pipe of which nobody says how wide it is."""
    if stream.isatty():
        return os.get_terminal_size(stream.fileno()).columns or _COLUMNS
    said = os.environ.get("COLUMNS", "")
    is_width = said.isascii() and said.isdigit() and len(said) <= len(str(_MOST))
    return min(int(said), _MOST) or None if is_width else None


def say(text: str, *, err: bool = False) -> None:
    """Print text that is already safe, and a line feed; at once, whatever comes after."""
    stream = sys.stderr if err else sys.stdout
    stream.write(f"{text}\n")
    stream.flush()


def say_lines(lines: "Sequence[str]") -> None:
    """Print lines that are already safe, and styled for this screen."""
    say("\n".join(lines))
