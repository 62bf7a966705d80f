"""The screen: how wide it is, whether it takes colour, and a line printed on it."""

import os
import sys
from collections.abc import Sequence


def has_colour() -> bool:
    """Whether the screen takes colour, and NO_COLOR is not set (no-color.org)."""
    return sys.stdout.isatty() and not os.environ.get("NO_COLOR")


def columns() -> int:
    """Cells across the screen; 80 where there is none."""
    if not sys.stdout.isatty():
        return 80
    return os.get_terminal_size(sys.stdout.fileno()).columns


def say(text: str, *, err: bool = False) -> None:
    """Print text that is already safe, and a line feed; at once, whatever comes after."""
    stream = sys.stderr if err else sys.stdout
    stream.write(f"{text}\n")
    stream.flush()


def say_lines(lines: Sequence[str]) -> None:
    """Print lines that are already safe, and styled for this screen."""
    say("\n".join(lines))
