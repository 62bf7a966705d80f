"""What the files of a book look like from outside: enough to tell whether one has changed."""

import os
import re
from pathlib import Path
from typing import Literal, NamedTuple

import msgspec

from tracker.core.values.errors import BookError
from tracker.core.values.text import is_plain

# What became of a line or a file: it does not fit the chain, or the disk does not give it; it is
# no event that this program could have written, or no file of lines at all (`apart`), or leads
# elsewhere (`link`); its end is not there yet (`unfinished`) or no more (`gone`); or something
# was put around its lines, which are read all the same (`additions`).
DamageKind = Literal["changed", "unreadable", "apart", "link", "unfinished", "gone", "additions"]
# The digest before the first line of every file.
GENESIS = "0" * 64
# After so many lines of a file it is noted where the next ones begin; where those of one command
# go further, at its end.
LINES_IN_A_STEP = 128


class Place(NamedTuple):
    """Where the line of an event stands, and the sum (CRC-32) of its bytes."""

    file: str
    offset: int
    length: int
    sum: int


class Step(NamedTuple):
    """How far a file had been read there: offset, lines, digest, what stands for odd lines."""

    offset: int
    lines: int
    digest: str
    odd: str


def is_a_step(before: int, after: int) -> bool:
    """Whether it is to be noted where the next line begins, after so many lines and more."""
    return before // LINES_IN_A_STEP < after // LINES_IN_A_STEP


class Damage(msgspec.Struct, frozen=True):
    """A line that is not what was written: which, where it starts, and what broke.

    Line 0 stands for the whole file.
    """

    file: str
    line: int
    byte: int
    why: str
    kind: DamageKind = "changed"

    @property
    def counts(self) -> bool:
        """Whether something that was written is not there to be read."""
        return not self.pending and not self.harmless

    @property
    def pending(self) -> bool:
        """Whether it may yet be whole: it is being written, or has half arrived."""
        return self.kind == "unfinished"

    @property
    def harmless(self) -> bool:
        """Whether the line was read all the same."""
        return self.kind == "additions"

    @property
    def gone(self) -> bool:
        """Whether the end of a file is missed, known from what was read of it before."""
        return self.kind == "gone"

    @property
    def is_unreadable(self) -> bool:
        """Whether the file could not be read at all, or not to its end."""
        return self.kind == "unreadable"


class Mark(msgspec.Struct, frozen=True):
    """How far a file has been read, and what it looked like then.

    `file` is its name as it is shown; `odd` stands for the lines that the chain does not hold.
    """

    file: str
    size: int
    mtime_ns: int
    inode: int
    read_to: int = 0
    lines: int = 0
    digest: str = GENESIS
    odd: str = ""

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
    """Every writer's file in the book as it looks now, none of it read.

    What is called like one but is a link, a folder or the like is among them: what reads it
    names it.
    """
    found = {}
    try:
        with os.scandir(book / "events") as places:
            for place in places:
                if place.name.endswith(".jsonl") and not place.name.startswith((".", "~")):
                    mark = _mark_of(place)
                    if mark is not None:
                        found[mark.file] = mark
    except FileNotFoundError:
        return {}
    except OSError as reason:
        raise BookError(
            f"The book cannot be read: {reason.strerror}.",
            where=str(book / "events"),
            do="make sure that the folder is there and that you may read it.",
        ) from reason
    return found


def _mark_of(place: "os.DirEntry[str]") -> Mark | None:
    file = name_shown(place.name)
    try:
        seen = place.stat(follow_symlinks=False)
    except FileNotFoundError:  # taken away meanwhile; the others are there
        return None
    except OSError:
        return Mark(file, 0, -1, 0)
    return Mark(file, seen.st_size, seen.st_mtime_ns, seen.st_ino)


# The name of a file


def name_shown(name: str) -> str:
    r"""A file's name as text that can be shown and kept, each name another.

    Control codes, bidi marks and bytes that are no text are written `\uNNNNNN`, and the
    backslash itself `\\`.
    """
    if "\\" not in name and is_plain(name):
        return name
    return "".join(one if is_plain(one) else f"\\u{ord(one):06x}" for one in _doubled(name))


def _doubled(name: str) -> str:
    return name.replace("\\", "\\\\")


def is_odd_name(file: str) -> bool:
    """Whether a name as shown is not the name itself; no file of a book is called so."""
    return "\\" in file


def path_of(book: Path, file: str) -> Path:
    """Where the file is whose name is shown so."""
    if is_odd_name(file):
        file = re.sub(r"\\(?:\\|u([0-9a-f]{6}))", _unescaped, file)
    return book / "events" / file


def _unescaped(found: re.Match[str]) -> str:
    return chr(int(found[1], 16)) if found[1] else "\\"
