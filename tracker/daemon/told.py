"""The delivery marks on disk: derived, and safe to delete (a digest may then repeat once)."""

import json
from datetime import date
from pathlib import Path

from tracker.core.rules.morning import Told
from tracker.journal.whole_file import write_whole


def read_told(file: Path) -> Told:
    """The marks, or none where there is no such file or it means nothing."""
    try:
        stored = json.loads(file.read_text())
        first, last = stored.get("first_digest"), stored["last_digest"]
        said = {str(key): date.fromisoformat(day) for key, day in stored["said"].items()}
        return Told(_day(last), said, _day(first))
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return Told()


def _day(text: str | None) -> date | None:
    return date.fromisoformat(text) if text else None


def later_of(on_disk: Told, in_memory: Told | None) -> Told:
    """The marks of the later digest: a full disk keeps the old ones while a process knows."""
    if in_memory is None or in_memory.last_digest is None:
        return on_disk
    if on_disk.last_digest is not None and on_disk.last_digest >= in_memory.last_digest:
        return on_disk
    return in_memory


def write_told(file: Path, told: Told) -> None:
    """Replace the marks in one step, so that a crash leaves the old or the new.

    Raises:
        OSError: the disk refused.
    """
    text = json.dumps(
        {
            "first_digest": told.first_digest.isoformat() if told.first_digest else None,
            "last_digest": told.last_digest.isoformat() if told.last_digest else None,
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
    file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    write_whole(file, text.encode())
