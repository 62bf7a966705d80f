"""When a copy of the book was last made, and last compared, on this machine; safe to delete."""

from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path

import msgspec

from tracker.journal.regular_file import read_regular
from tracker.journal.whole_file import make_folder, write_whole

FILE = "backups.json"
_MOST_BYTES = 100_000


class CopyMade(msgspec.Struct, frozen=True):
    """A copy that was whole: when, where, and how many lines it had."""

    at: datetime
    where: str
    lines: int


class CopiesMade(msgspec.Struct, frozen=True):
    """The last one made, and the last one that was compared with the book."""

    made: CopyMade | None = None
    verified: CopyMade | None = None


def copies_made(state: Path) -> CopiesMade:
    """What is known of copies; nothing where there is no such file or it means nothing."""
    with suppress(OSError, ValueError, RecursionError):
        return msgspec.json.decode(read_regular(state / FILE, _MOST_BYTES), type=CopiesMade)
    return CopiesMade()


def note_copy(state: Path, at: datetime, where: Path, lines: int, *, made: bool) -> None:
    """Keep that a copy was made, or compared.

    Raises:
        OSError: the disk refused.
    """
    copy = CopyMade(at.astimezone(UTC), str(where.resolve()), lines)
    before = copies_made(state)
    after = CopiesMade(copy, before.verified) if made else CopiesMade(before.made, copy)
    make_folder(state)
    write_whole(state / FILE, msgspec.json.encode(after))
