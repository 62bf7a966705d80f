"""The last line this machine wrote to a book, remembered outside the book and outside the cache.

A synchronising tool that puts an older copy back right after a record leaves a file that is whole
and shorter. Of all that could tell, only this is sure to be there: it is written by the very
command that wrote the line. It is not synced; an older one is still true of its file.
"""

import os
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path
from zlib import crc32

import msgspec

from tracker.journal.regular_file import read_regular

NAME = "own-ends"
# One line for each writer; a state folder has one, or a few.
_MOST_BYTES = 1 << 16
_SAFELY = getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)


class OwnEnd(msgspec.Struct, frozen=True):
    """The last line that was appended to a file from here: its number, its digest, and when.

    `machine` says by a hash which machine that was, where it could be known.
    """

    file: str
    lines: int
    digest: str
    mtime_ns: int = 0
    machine: str | None = None

    def reaches_beyond(self, lines: int, digest: str) -> bool:
        """Whether a file that ends with that line does not contain this one, as far as it tells."""
        return lines < self.lines or (lines == self.lines and digest != self.digest)


_DECODER = msgspec.json.Decoder(OwnEnd)


def own_ends(file: Path) -> dict[str, OwnEnd]:
    """What is remembered of each file of a book; nothing of what is damaged."""
    try:
        kept = read_regular(file, _MOST_BYTES)
    except OSError:
        return {}
    found = (_read(line) for line in kept.split(b"\n")[:-1])
    return {one.file: one for one in found if one is not None}


def _read(line: bytes) -> OwnEnd | None:
    checksum, _, body = line.partition(b" ")
    if checksum != b"%08x" % crc32(body):
        return None
    try:
        return _DECODER.decode(body)
    except (msgspec.DecodeError, UnicodeDecodeError):
        return None


def remember(file: Path, end: OwnEnd, known: Iterable[OwnEnd] = ()) -> None:
    """Keep this end, and beside it what is known of other files.

    Raises:
        OSError: it cannot be written; what was remembered may be lost, and nothing of the book.
    """
    ends = {one.file: one for one in known} | {end.file: end}
    bodies = [msgspec.json.encode(one) for one in ends.values()]
    kept = b"".join(b"%08x %s\n" % (crc32(body), body) for body in bodies)
    try:
        _write(file, kept)
    except OSError:
        file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        file.unlink(missing_ok=True)  # a link, or another's: it makes room
        _write(file, kept)


def _write(file: Path, kept: bytes) -> None:
    # In its place, since every recorded line comes by here: what is torn has no checksum.
    descriptor = os.open(file, os.O_WRONLY | os.O_CREAT | _SAFELY, 0o600)
    try:
        os.write(descriptor, kept)
        os.ftruncate(descriptor, len(kept))
    finally:
        os.close(descriptor)


def forget(file: Path) -> None:
    """Miss nothing any longer, after a power cut either.

    Raises:
        OSError: it cannot be taken away.
    """
    from tracker.journal.whole_file import sync_folder

    with suppress(FileNotFoundError):
        file.unlink()
        sync_folder(file.parent)
