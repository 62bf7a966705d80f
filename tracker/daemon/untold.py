"""A reminder that could not be delivered, kept until a command has printed it."""

from collections.abc import Sequence
from contextlib import suppress
from datetime import date
from pathlib import Path

from tracker.core.values.day_words import short_day
from tracker.daemon.told import read_small, replace_text
from tracker.outputs.words.due.due_message import message_of
from tracker.outputs.words.due.due_names import DueItem

# The command looks for this name before every verb; see `tracker.cli.run`.
UNTOLD = "untold"
PRINTED = "untold.printed"


def keep_untold(state: Path, lines: Sequence[DueItem], today: date) -> None:
    """Leave one line for the next command to print, unless that very line was, or stands there.

    Raises:
        OSError: the disk refused.
    """
    first = message_of(lines[:1], today).lines[0]
    more = f", and {len(lines) - 1} more" if len(lines) > 1 else ""
    text = f"Not delivered on {short_day(today)}: {first}{more}."
    for name in (PRINTED, UNTOLD):
        with suppress(OSError, ValueError):
            if read_small(state / name) == text:
                return
    replace_text(state / UNTOLD, text)


def forget_untold(state: Path) -> None:
    """It was delivered after all."""
    for name in (UNTOLD, PRINTED):
        with suppress(OSError):
            (state / name).unlink(missing_ok=True)
