"""A reminder that could not be delivered, kept until a command has printed it."""

from collections.abc import Sequence
from contextlib import suppress
from datetime import date
from pathlib import Path

from tracker.core.rules.reminders import Due
from tracker.daemon.told import read_small, replace_text
from tracker.outputs.words.due_lines import why_due

# The command looks for this name before every verb; see `tracker.cli.run`.
UNTOLD = "untold"
PRINTED = "untold.printed"


def keep_untold(state: Path, lines: Sequence[Due], today: date) -> None:
    """Leave one line for the next command to print, unless that very line was, or stands there.

    Raises:
        OSError: the disk refused.
    """
    first = lines[0]
    more = f", and {len(lines) - 1} more" if len(lines) > 1 else ""
    text = f"Not delivered on {today}: {first.code} {first.what}, {why_due(first)}{more}."
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
