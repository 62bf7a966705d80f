"""What the files of a book look like from outside: enough to tell whether one has changed."""

import os
from pathlib import Path
from typing import NamedTuple

import msgspec

from tracker.core.values.errors import BookError

UNREADABLE = "cannot be read"
# The digest before the first line of every file.
GENESIS = "0" * 64


class Place(NamedTuple):
    """Where the line of an event stands, and the sum (CRC-32) of its bytes."""

    event: str
    file: str
    offset: int
    length: int
    sum: int


class Damage(msgspec.Struct, frozen=True):
    """A line that is not what was written: which, where it starts, and what broke.

    One that is `pending` may yet be whole: it is being written, or has half arrived. One
    that is `harmless` was read all the same. Where the end of a file is `gone`, that is known
    from what was read of it before.
    """

    file: str
    line: int
    byte: int
    why: str
    pending: bool = False
    harmless: bool = False
    gone: bool = False

    @property
    def counts(self) -> bool:
        """Whether something that was written is not there to be read."""
        return not self.pending and not self.harmless

    @property
    def is_unreadable(self) -> bool:
        """Whether the file could not be read at all, or not to its end."""
        return self.why.startswith(UNREADABLE)


class Mark(msgspec.Struct, frozen=True):
    """How far a file has been read, and what it looked like then."""

    file: str
    size: int
    mtime_ns: int
    inode: int
    read_to: int = 0
    lines: int = 0
    digest: str = GENESIS

    def unread(self) -> "Mark":
        """The mark of a file that could not be read: no look at it ever seems the same."""
        return msgspec.structs.replace(self, mtime_ns=-1)

    @property
    def is_unread(self) -> bool:
        """Whether the file could not be read when the mark was made."""
        return self.mtime_ns == -1

    def same_file(self, other: "Mark") -> bool:
        """Whether nothing about the file has changed."""
        return (self.size, self.mtime_ns, self.inode) == (
            other.size,
            other.mtime_ns,
            other.inode,
        )


def marks(book: Path) -> dict[str, Mark]:
    """Every writer's file in the book as it looks now, none of it read."""
    found = {}
    try:
        with os.scandir(book / "events") as places:
            for place in places:
                if not place.name.endswith(".jsonl") or place.name.startswith((".", "~")):
                    continue
                if place.is_symlink() or not place.is_file():
                    continue
                seen = place.stat()
                found[place.name] = Mark(place.name, seen.st_size, seen.st_mtime_ns, seen.st_ino)
    except FileNotFoundError:
        return {}
    except OSError as reason:
        raise BookError(
            f"The book cannot be read: {reason.strerror}.",
            where=str(book),
            do="check that the folder is there and is yours to read.",
        ) from reason
    return found
