"""Appending to this writer's own file: under a lock, whole, synced, or not at all."""

import errno
import os
from collections.abc import Iterator, Sequence
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import NamedTuple
from zlib import crc32

from msgspec.structs import replace

from tracker.core.facts.entry import Entry
from tracker.core.values.errors import BookError, DamagedLineError
from tracker.journal.file_marks import GENESIS, Mark
from tracker.journal.line import (
    bared,
    recorded_of,
    sequence_of,
    split_digest,
    waits_for_more,
    write_unit,
)
from tracker.journal.own_file import own_file
from tracker.journal.own_head import OwnEnd
from tracker.journal.read import Placed, read_on

# A first look at the end of a file is this long; lines are far shorter.
_LOOK_BYTES = 1 << 16
# A synchronising tool that replaces the file more often than this is not waited for.
_TRIES = 8
# A disk that once refuses to shorten a file may do it when asked once more.
_CUTS = 3


class _NotTakenBackError(OSError):
    """The write failed, and the file could not be cut back to what it was."""


class Written(NamedTuple):
    """What was appended: the entries and their places, and the file before and after."""

    entries: tuple[Placed, ...]
    before: Mark
    mark: Mark


def append(
    book: Path, source: str, entries: Sequence[Entry], spare: Path, least: OwnEnd | None = None
) -> Written:
    """Write what one command records to the end of this writer's file, and sync it.

    The caller holds the lock. Whatever can fail is done before the bytes are on the disk, and
    nothing that fails afterwards makes a refusal of it: if any step up to the sync fails the file
    is cut back to what it was. Several entries are one unit: a reader takes all of them or,
    where a crash left only some, none.

    Args:
        book: the book's folder; created with `events/` where it does not exist.
        source: the writer, whose file it is.
        entries: what to write; their source and sequence are given here.
        spare: a folder for the unfinished line or unit that a crash left at the end.
        least: the last line the file is known to hold, so that no number is given twice; None
            where somebody is sure that an older copy is to be gone on with.

    Raises:
        BookError: the disk refused, or the file is no plain one or an older copy; nothing was
            recorded. Only where a failing disk will not take the line back, it is said that
            this is not known.
    """
    path = book / "events" / f"{source}.jsonl"
    tries: list[_Begun] = []
    try:
        for _ in range(_TRIES):
            written = _append(path, source, entries, spare, least, tries)
            if written is not None:
                return written
    except _NotTakenBackError as reason:
        raise _not_known(path, reason) from reason
    except OSError as reason:
        raise BookError(
            f"The book cannot be written to: {reason.strerror or reason}.",
            where=f"{path}; nothing was recorded",
            do="free some space or check the disk's permissions, then repeat the command.",
        ) from reason
    raise BookError(
        "Another program keeps replacing the file.",
        where=f"{path}; nothing was recorded",
        do="pause the program that syncs the folder, then repeat the command.",
    )


def _not_known(path: Path, reason: OSError) -> BookError:
    return BookError(
        f"The book cannot be written to: {reason.strerror or reason}; and the disk cannot "
        "take back what was begun.",
        where=f"{path}; whether it was recorded is not known",
        do="copy the book to another disk, and look there with `stillroom history` before "
        "you repeat the command.",
    )


class _Begun(NamedTuple):
    """What is written to the end of a file, and the line it goes on from."""

    own: list[Entry]
    lines: list[bytes]
    number: int  # of the line before
    previous: str  # its digest
    digest: str

    @property
    def blob(self) -> bytes:
        """All of it."""
        return b"".join(self.lines)


def _begun(entries: Sequence[Entry], source: str, last: tuple[str, int, datetime | None]) -> _Begun:
    """The entries as what comes next after the last line of a file."""
    previous, number, recorded = last
    own = in_file(entries, source, number, recorded)
    lines, digest = write_unit(own, previous)
    return _Begun(own, lines, number, previous, digest)


def _append(
    path: Path,
    source: str,
    entries: Sequence[Entry],
    spare: Path,
    least: OwnEnd | None,
    tries: list[_Begun],
) -> Written | None:
    """What was written, or None where the file was replaced meanwhile.

    `tries` is what was written to files that were replaced: the one that came may be a copy that
    holds the last of it already.
    """
    descriptor = own_file(path)
    if descriptor is None:
        return None
    try:
        found = os.fstat(descriptor)
        end = _set_aside_unfinished(descriptor, path, spare)
        last = _last(descriptor, end)
        if least is not None and least.reaches_beyond(last[1], last[0]):
            raise _older_copy(path, least)
        if not _is_at(found, path):
            return None
        is_there = bool(tries) and _ends_in(descriptor, end, tries[-1].blob)
        if not is_there:
            tries.append(_begun(entries, source, last))
        one = tries[-1]
        start = end - len(one.blob) if is_there else end
        now = _write_whole(descriptor, one.blob, start, is_there=is_there)
    finally:
        # What is synced is synced: a disk that complains of the close undoes nothing.
        with suppress(OSError):
            os.close(descriptor)
    if not _is_at(found, path):
        return None
    before = _mark(path.name, found, start, one.number, one.previous)
    mark = _mark(path.name, now, start + len(one.blob), one.number + len(one.own), one.digest)
    return Written(tuple(_placed(one.own, one.lines, path.name, start)), before, mark)


def _ends_in(descriptor: int, end: int, blob: bytes) -> bool:
    """Whether a file ends in these very bytes."""
    return end >= len(blob) and _read(descriptor, end - len(blob), end) == blob


def _older_copy(path: Path, least: OwnEnd) -> BookError:
    return BookError(
        f"The file does not hold line {least.lines}, which was written to it before: an older "
        "copy was put in its place.",
        where=f"{path}; nothing was recorded",
        do="put the newer copy back in its place, or run `stillroom check --accept`.",
    )


def in_file(
    entries: Sequence[Entry], source: str, last: int, recorded: datetime | None
) -> list[Entry]:
    """The entries as a writer's next: their numbers, and never recorded before the last.

    Args:
        entries: what to write.
        source: the writer.
        last: the number of the last line before them.
        recorded: when that one was written down. A clock that was set back does not take the
            book with it.
    """
    own = []
    for number, entry in enumerate(entries, last + 1):
        recorded = max(entry.recorded, recorded or entry.recorded)
        own.append(replace(entry, source=source, sequence=number, recorded=recorded))
    return own


def _placed(
    entries: Sequence[Entry], lines: Sequence[bytes], file: str, start: int
) -> Iterator[Placed]:
    """Each entry where its line, line feed left off, now stands."""
    for entry, line in zip(entries, lines, strict=True):
        yield Placed(entry, file, start, len(line) - 1, crc32(line[:-1]))
        start += len(line)


def _mark(file: str, seen: os.stat_result, read_to: int, lines: int, digest: str) -> Mark:
    return Mark(file, seen.st_size, seen.st_mtime_ns, seen.st_ino, read_to, lines, digest)


def _is_at(opened: os.stat_result, path: Path) -> bool:
    """Whether the file that was opened is still the one of that name, as far as can be seen.

    A tool that renames a new file over it leaves the descriptor on one that no name leads
    to: writing and syncing succeed, and the event is nowhere.
    """
    try:
        return os.path.samestat(opened, path.stat(follow_symlinks=False))
    except FileNotFoundError:
        return False
    except OSError:
        return True  # a look that fails says nothing against what was synced


def _write_all(descriptor: int, blob: bytes) -> None:
    sent = 0
    while sent < len(blob):
        sent += os.write(descriptor, blob[sent:])


def _write_whole(
    descriptor: int, blob: bytes, end: int, *, is_there: bool = False
) -> os.stat_result:
    """All of it and synced, and the file as it looks then; or none of it and an OSError.

    What the system says it wrote is counted again before anything is acknowledged. After a
    failed sync nothing is tried again: the system may have dropped the page, so that a second
    sync would succeed without it.
    """
    try:
        if not is_there:
            _write_all(descriptor, blob)
        os.fsync(descriptor)
        now = os.fstat(descriptor)
        if now.st_size != end + len(blob):
            raise OSError(errno.EIO, "the disk kept less than it said")
    except (OSError, KeyboardInterrupt) as reason:
        _take_back(descriptor, end, reason)
        raise
    return now


def _take_back(descriptor: int, end: int, reason: BaseException) -> None:
    """Cut the file back to what it was.

    Raises:
        _NotTakenBackError: the disk will not.
    """
    for attempt in range(_CUTS):
        try:
            os.ftruncate(descriptor, end)
        except OSError as also:
            if attempt == _CUTS - 1:
                number = getattr(reason, "errno", None) or also.errno or errno.EIO
                raise _NotTakenBackError(number, os.strerror(number)) from also
        else:
            return


def _set_aside_unfinished(descriptor: int, path: Path, spare: Path) -> int:
    """Move what the file ends in that is not whole out of the way; the end of what is.

    That is a last line without its line feed, or the first lines of a unit without its last.
    """
    size = os.fstat(descriptor).st_size
    tail, _ = _tail(descriptor, size, newlines=2)
    *whole, torn = tail.split(b"\n")
    end = size - len(torn)
    if whole and waits_for_more(bared(whole[-1], 1)):
        # Rare enough to read all of the file: the reader alone knows where the unit begins.
        read = read_on(path.parent.parent, Mark(path.name, 0, 0, 0), [], [])
        if read.is_unread:
            raise OSError(errno.EIO, "its end cannot be read")
        end = read.read_to
    if end < size:
        _keep(_read(descriptor, end, size), f"{path.stem}-at-{end}", spare)
        os.ftruncate(descriptor, end)
    return end


def _keep(torn: bytes, name: str, spare: Path) -> None:
    """Write it to the spare folder, beside all that was ever kept there."""
    spare.mkdir(mode=0o700, parents=True, exist_ok=True)
    taken = len(list(spare.glob(f"{name}*.torn")))
    with (spare / f"{name}-{taken + 1}.torn").open("xb") as file:
        file.write(torn)
        file.flush()
        os.fsync(file.fileno())


def _last(descriptor: int, end: int) -> tuple[str, int, datetime | None]:
    """The digest the next line continues, the number of the last line, and its recordedtime.

    The reader goes on from the last line that states a digest, even where that line is spoilt,
    and so does the writer; the number is that of the last line that can be read, and those
    after it only count.
    """
    newlines = 2
    while True:
        digest: str | None = None
        tail, start = _tail(descriptor, end, newlines=newlines)
        lines = tail.split(b"\n")[:-1]
        known = [bared(line, 1) for line in lines]
        for spoilt, line in enumerate(reversed(known if start == 0 else known[1:])):
            try:
                digest = digest or split_digest(line)[1]
                return digest, sequence_of(line) + spoilt, recorded_of(line)
            except DamagedLineError:
                continue
        if start == 0:
            return digest or GENESIS, len(lines), None
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
