"""The delivery marks on disk: derived, and safe to delete (a digest may then repeat once)."""

import json
from datetime import date
from pathlib import Path

from tracker.core.rules.morning import DIGESTS_KEPT, LINES_KEPT, Told
from tracker.journal.regular_file import read_regular
from tracker.journal.whole_file import make_folder, write_whole

MARKS = "told.json"
# More than any marks of ours take; what is longer is somebody else's file.
MOST_BYTES = 4_000_000


def read_told(file: Path) -> Told:
    """The marks, or none where there is no such file or it means nothing."""
    try:
        stored = json.loads(read_small(file))
        said = {str(key): date.fromisoformat(day) for key, day in stored["said"].items()}
        return Told(
            _day(stored["last_digest"]),
            dict(list(said.items())[-LINES_KEPT:]),
            tuple(date.fromisoformat(day) for day in stored.get("digests", [])[-DIGESTS_KEPT:]),
        )
    # Deep nesting is a RecursionError.
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return Told()


def read_small(file: Path) -> str:
    """The text of a small file of our own.

    Raises:
        OSError: it is not there, no regular file, or too long.
        ValueError: it is not UTF-8.
    """
    contents = read_regular(file, MOST_BYTES + 1, through_link=True)
    if len(contents) > MOST_BYTES:
        raise OSError(f"{file} is too long")
    return contents.decode()


def _day(text: str | None) -> date | None:
    return date.fromisoformat(text) if text else None


def write_told(file: Path, told: Told) -> None:
    """Replace the marks in one step, so that a crash leaves the old or the new.

    Raises:
        OSError: the disk refused.
    """
    text = json.dumps(
        {
            "last_digest": told.last_digest.isoformat() if told.last_digest else None,
            "digests": [day.isoformat() for day in told.digests],
            "said": {key: day.isoformat() for key, day in told.said.items()},
        },
        indent=1,
    )
    replace_text(file, text)


def replace_text(file: Path, text: str) -> None:
    """Give a file of the state folder other contents, in one step.

    Raises:
        OSError: the disk refused; the file is as it was.
    """
    make_folder(file.parent)
    write_whole(file, text.encode())
