"""Opening a file of the book to read it, and its lines in bounded memory."""

import io
import stat
from collections.abc import Iterator
from functools import partial
from hashlib import sha256
from pathlib import Path
from typing import BinaryIO, NamedTuple, cast

from tracker.journal.file_marks import Damage, is_odd_name, path_of
from tracker.journal.line import LONGEST_LINE_BYTES
from tracker.journal.regular_file import opened_regular

# A line that goes on beyond that is passed over in pieces of so much.
_PIECE_BYTES = 1 << 16
_BUFFER_BYTES = 1 << 17
# A digest, what closes the line, and a CR LF.
_END_BYTES = 80


def opened(book: Path, file: str) -> BinaryIO:
    """A file of the book, open to be read.

    Raises:
        OSError: it cannot be read, or is no regular file.
    """
    return opened_regular(path_of(book, file))


class _UpTo(io.RawIOBase):
    """A file that ends early."""

    def __init__(self, file: BinaryIO, end: int) -> None:
        self._file, self._end = file, end

    def readable(self) -> bool:
        return True

    def seekable(self) -> bool:
        return True

    def seek(self, offset: int, whence: int = io.SEEK_SET) -> int:
        return self._file.seek(offset, whence)

    def readinto(self, buffer: bytearray) -> int:  # type: ignore[override]  # what a reader gives
        left = max(0, self._end - self._file.tell())
        piece = self._file.read(min(len(buffer), left))
        buffer[: len(piece)] = piece
        return len(piece)

    def close(self) -> None:
        self._file.close()
        super().close()


def up_to(file: BinaryIO, end: int) -> BinaryIO:
    """A file that is open to be read, as if it ended at an offset."""
    return cast("BinaryIO", io.BufferedReader(_UpTo(file, end), _BUFFER_BYTES))


def set_apart(book: Path, file: str) -> Damage | None:
    """Why nothing of a file is read, without opening it; None where it is read.

    Raises:
        OSError: nothing can be found out about it.
    """
    mode = path_of(book, file).lstat().st_mode
    if stat.S_ISLNK(mode):
        why = "is a link, which is not followed; put the file itself in its place"
        return Damage(file, 0, 0, why, "link")
    if not stat.S_ISREG(mode):
        why = f"is {_WHAT.get(stat.S_IFMT(mode), 'not a file')}, and only files are read"
        return Damage(file, 0, 0, why, "apart")
    if is_odd_name(file):
        why = "has signs in its name that no file of a book has; give it another name"
        return Damage(file, 0, 0, why, "apart")
    return None


_WHAT = {
    stat.S_IFDIR: "a folder",
    stat.S_IFIFO: "a pipe",
    stat.S_IFSOCK: "a socket",
    stat.S_IFCHR: "a device",
    stat.S_IFBLK: "a device",
}


class TooLong(NamedTuple):
    """A line that is passed over: how long it is, its end, and the SHA-256 of all of it."""

    length: int
    end: bytes
    digest: bytes


def lines_of(file: BinaryIO) -> Iterator[bytes | TooLong]:
    """Each line with its line feed, which the last may lack; one that is too long by its end."""
    for line in iter(partial(file.readline, LONGEST_LINE_BYTES), b""):
        yield passed_over(file, line) if is_too_long(line) else line


def is_too_long(begun: bytes) -> bool:
    """Whether this is only the beginning of a line that goes on."""
    return len(begun) == LONGEST_LINE_BYTES and begun[-1:] != b"\n"


def passed_over(file: BinaryIO, begun: bytes) -> TooLong:
    """The rest of a line that is too long read in pieces, none of it kept but its end."""
    whole, length, end = sha256(begun), len(begun), begun[-_END_BYTES:]
    while piece := file.readline(_PIECE_BYTES):
        whole.update(piece)
        length += len(piece)
        end = (end + piece)[-_END_BYTES:]
        if piece.endswith(b"\n"):
            break
    return TooLong(length, end, whole.digest())
