"""One line typed in answer to a question; of several that are pasted at once the first alone."""

import select
import sys
from contextlib import suppress
from typing import Any

import typer

try:
    import termios
except ImportError:  # Windows, whose console says nothing of what is still to be read
    termios = None  # type: ignore[assignment]

SEVERAL = "Several lines came at once: the first is taken, the rest is dropped."


def typed_line(question: str, default: str | None = "", **put: Any) -> str:  # noqa: ANN401  # as they are
    """What a person types in answer, beside what is printed.

    A paste would answer the questions that come after, which nobody has read yet. What was
    typed ahead, while nothing was asked, is kept.

    Args:
        question: as it is put.
        default: what Enter takes; None where something has to be typed.
        put: how it is put, as `typer.prompt` takes it.
    """
    is_ahead = _is_line_waiting()
    text = str(typer.prompt(question, default, err=True, **put))
    if not is_ahead and _dropped():
        typer.echo(SEVERAL, err=True)
    return text


def _is_line_waiting() -> bool:
    return sys.stdin.isatty() and bool(select.select([sys.stdin], [], [], 0)[0])


def _dropped() -> bool:
    """Drop what came with the line that was just read; whether there was anything."""
    if termios is None or not sys.stdin.isatty():
        return False
    screen = sys.stdin.fileno()
    kept = termios.tcgetattr(screen)
    as_it_comes = [*kept]
    as_it_comes[3] &= ~termios.ICANON  # so that a line without its end is seen as well
    with suppress(termios.error):
        termios.tcsetattr(screen, termios.TCSANOW, as_it_comes)
        try:
            found = bool(select.select([screen], [], [], 0)[0])
            if found:
                termios.tcflush(screen, termios.TCIFLUSH)
            return found
        finally:
            termios.tcsetattr(screen, termios.TCSANOW, kept)
    return False
