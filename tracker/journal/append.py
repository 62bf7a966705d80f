"""Appending to this writer's own file: under a lock, whole, synced, or not at all."""

import errno
import os
import stat
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from tracker.core.facts.entry import Entry
from tracker.core.values.errors import BookError, DamagedLineError
from tracker.journal.file_marks import GENESIS
from tracker.journal.line import bared, recorded_of, sequence_of, split_digest, write_line
from tracker.journal.whole_file import sync_folder

_FLAGS = (
    os.O_RDWR | os.O_APPEND | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_BINARY", 0)
)
# A first look at the end of a file is this long; lines are far shorter.
_LOOK_BYTES = 1 << 16
_COPY_BYTES = 1 << 20
# A synchronising tool that replaces the file more often than this is not waited for.
_TRIES = 8


def append(book: Path, source: str, entries: Sequence[Entry], spare: Path) -> list[Entry]:
    """Write entries to the end of this writer's file and sync it.

    The caller holds the lock. Nothing is acknowledged before the bytes are on the disk: if
    any step fails the file is cut back to what it was.

    Args:
        book: the book's folder; created with `events/` where it does not exist.
        source: the writer, whose file it is.
        entries: what to write; their source and sequence are given here.
        spare: a folder for the unfinished tail of a line that a crash left behind.

    Returns:
        The entries as written.

    Raises:
        BookError: the disk refused; nothing was recorded.
    """
    path = book / "events" / f"{source}.jsonl"
    try:
        for _ in range(_TRIES):
            written = _append(path, source, entries, spare)
            if written is not None:
                return written
    except OSError as reason:
        raise BookError(
            f"The book cannot be written: {reason.strerror or reason}.",
            where=f"{path}; nothing was recorded",
            do="free some space or mend the disk's permissions, then say it again.",
        ) from reason
    raise BookError(
        "Another program keeps replacing the file.",
        where=f"{path}; nothing was recorded",
        do="pause the synchronising program, then say it again.",
    )


def _append(path: Path, source: str, entries: Sequence[Entry], spare: Path) -> list[Entry] | None:
    """The entries as written, or None where the file was replaced meanwhile."""
    is_new = not path.exists()
    for folder in (path.parent.parent, path.parent):  # a parent made for it has no such mode
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    descriptor = os.open(path, _FLAGS, 0o600)
    try:
        end = _set_aside_torn_tail(descriptor, path, spare)
        digest, sequence, before = _last(descriptor, end)
        written, blob = [], bytearray()
        for entry in entries:
            sequence += 1
            # A clock that was set back does not take the book with it.
            recorded = max(entry.recorded, before or entry.recorded)
            numbered = replace(entry, source=source, sequence=sequence, recorded=recorded)
            line, digest = write_line(numbered, digest)
            blob += line
            written.append(numbered)
        opened = os.fstat(descriptor)
        if len(written) > 1:
            beside = _written_beside(descriptor, path, bytes(blob), end)
        else:
            beside = None
            _write_whole(descriptor, bytes(blob), end)
            if not _is_at(opened, path):
                return None
    finally:
        os.close(descriptor)
    if beside is not None:
        if not _is_at(opened, path):
            beside.unlink()
            return None
        _rename(beside, path)
    if is_new or beside:
        sync_folder(path.parent)
        sync_folder(path.parent.parent)
    return written


def _is_at(opened: os.stat_result, path: Path) -> bool:
    """Whether the file that was opened is still the one of that name.

    A tool that renames a new file over it leaves the descriptor on one that no name leads
    to: writing and syncing succeed, and the event is nowhere.
    """
    try:
        return os.path.samestat(opened, path.stat(follow_symlinks=False))
    except FileNotFoundError:
        return False


def _written_beside(descriptor: int, path: Path, blob: bytes, end: int) -> Path:
    """A synced copy of the file with several lines more, which a rename puts in its place.

    A kill or a power cut in the middle of one write can leave its first lines whole in the
    file and the last ones not; a rename leaves the old file or the new one.
    """
    beside = path.with_name(f".{path.name}.tmp")  # a name that no reader takes for a writer's
    beside.unlink(missing_ok=True)
    try:
        copy = os.open(beside, (_FLAGS & ~os.O_APPEND) | os.O_EXCL, 0o600)
        try:
            os.lseek(descriptor, 0, os.SEEK_SET)
            left = end
            while left and (part := os.read(descriptor, min(left, _COPY_BYTES))):
                left -= len(part)
                _write_all(copy, part)
            _write_all(copy, blob)
            os.fsync(copy)
            if os.fstat(copy).st_size != end + len(blob):
                raise OSError(errno.EIO, "the disk kept less than it said")
        finally:
            os.close(copy)
        beside.chmod(stat.S_IMODE(os.fstat(descriptor).st_mode))
    except OSError:
        beside.unlink(missing_ok=True)
        raise
    return beside


def _rename(beside: Path, path: Path) -> None:
    try:
        beside.replace(path)
    except OSError:
        beside.unlink(missing_ok=True)
        raise


def _write_all(descriptor: int, blob: bytes) -> None:
    sent = 0
    while sent < len(blob):
        sent += os.write(descriptor, blob[sent:])


def _write_whole(descriptor: int, blob: bytes, end: int) -> None:
    """All of it and synced, or none of it and an OSError.

    What the system says it wrote is counted again before anything is acknowledged. After a
    failed sync nothing is tried again: the system may have dropped the page, so that a second
    sync would succeed without it.
    """
    try:
        _write_all(descriptor, blob)
        os.fsync(descriptor)
        if os.fstat(descriptor).st_size != end + len(blob):
            raise OSError(errno.EIO, "the disk kept less than it said")
    except OSError:
        os.ftruncate(descriptor, end)
        raise


def _set_aside_torn_tail(descriptor: int, path: Path, spare: Path) -> int:
    """Move a last line without its line feed out of the way; the end of the whole lines."""
    size = os.fstat(descriptor).st_size
    tail, start = _tail(descriptor, size, newlines=1)
    torn = tail[tail.rfind(b"\n") + 1 :] if b"\n" in tail else tail
    assert start == 0 or b"\n" in tail
    if not torn:
        return size
    end = size - len(torn)
    spare.mkdir(mode=0o700, parents=True, exist_ok=True)
    taken = len(list(spare.glob(f"{path.stem}-at-{end}*.torn")))
    kept = spare / f"{path.stem}-at-{end}-{taken + 1}.torn"
    with kept.open("xb") as file:
        file.write(torn)
        file.flush()
        os.fsync(file.fileno())
    os.ftruncate(descriptor, end)
    return end


def _last(descriptor: int, end: int) -> tuple[str, int, datetime | None]:
    """The digest the next line continues, the number of the last line, and its recordedtime.

    They are those of the last line that states a digest, as the reader takes them; lines
    after it, that somebody spoilt, only count.
    """
    newlines = 2
    while True:
        tail, start = _tail(descriptor, end, newlines=newlines)
        lines = tail.split(b"\n")[:-1]
        known = [bared(line, 1) for line in lines]
        for spoilt, line in enumerate(reversed(known if start == 0 else known[1:])):
            try:
                digest = split_digest(line)[1]
                return digest, sequence_of(line) + spoilt, recorded_of(line)
            except DamagedLineError:
                continue
        if start == 0:
            return GENESIS, len(lines), None
        newlines *= 4


def _tail(descriptor: int, end: int, *, newlines: int) -> tuple[bytes, int]:
    """The end of the file with at least so many line feeds, or all of it; and its start."""
    length = _LOOK_BYTES
    while True:
        start = max(end - length, 0)
        tail = _read(descriptor, start, end)
        if start == 0 or tail.count(b"\n") >= newlines:
            return tail, start
        length *= 4


def _read(descriptor: int, start: int, end: int) -> bytes:
    os.lseek(descriptor, start, os.SEEK_SET)
    parts = []
    while start < end and (part := os.read(descriptor, end - start)):
        parts.append(part)
        start += len(part)
    return b"".join(parts)
