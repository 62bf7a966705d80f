"""A verified copy of the book, and whether the book still contains an old one.

A copy has the shape of a book. Restoring is copying its files back.
"""

import errno
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from functools import partial
from hashlib import sha256
from itertools import takewhile
from pathlib import Path
from typing import BinaryIO

from tracker.core.values.errors import BookError
from tracker.journal.book_file import opened, set_apart
from tracker.journal.file_marks import Damage, Mark, marks, path_of
from tracker.journal.read import read_book, read_on
from tracker.journal.regular_file import opened_regular
from tracker.journal.whole_file import begun_beside, make_folder, sync_begun, sync_folder

# A file is copied and compared in pieces of this length.
_PIECE_BYTES = 1 << 20
_OTHERS = ("practice.toml",)


@dataclass(frozen=True, slots=True)
class Compared:
    """One writer's file in the book and in a copy: what each has that the other has not."""

    file: str
    lines: int  # in the copy
    only_book: int
    only_copy: int


def compare(book: Path, copy: Path) -> list[Compared]:
    """Every file of either, line by line.

    Raises:
        BookError: one of them cannot be read.
    """
    names = sorted(marks(book).keys() | marks(copy).keys())
    return [_compared(book, copy, name) for name in names]


def _compared(book: Path, copy: Path, name: str) -> Compared:
    here, there = _end(book, name), _end(copy, name)
    try:
        own, copied = _line_feeds(book, name, here), _line_feeds(copy, name, there)
        same = _same_lines(book, copy, name, min(here, there))
    except OSError as reason:
        raise _refused(path_of(book, name), reason, "read") from reason
    return Compared(name, copied, own - same, copied - same)


def _end(book: Path, name: str) -> int:
    """How far a file goes, what it ends in that is not whole left out; 0 where it is not there."""
    path = path_of(book, name)
    try:
        if (apart := set_apart(book, name)) is not None:
            return path.lstat().st_size if path.is_file() and apart.kind != "link" else 0
    except FileNotFoundError:
        return 0
    except OSError as reason:
        raise _refused(path, reason, "read") from reason
    damages: list[Damage] = []
    end = read_on(book, Mark(name, 0, 0, 0), [], damages).read_to
    for one in damages:
        if one.is_unreadable:
            raise BookError(
                f"The copy cannot be compared: {name} {one.why}.",
                where=str(path),
                do="make sure that the disk is sound and you may read the file, then try again.",
            )
    return end


def _line_feeds(book: Path, name: str, end: int) -> int:
    if not end:
        return 0
    with opened(book, name) as file:
        return sum(piece.count(b"\n") for piece in _pieces(file, end))


def _same_lines(book: Path, copy: Path, name: str, end: int) -> int:
    """How many lines both files begin with."""
    if not end:
        return 0
    same = 0
    with opened(book, name) as here, opened(copy, name) as there:
        for one, other in zip(_pieces(here, end), _pieces(there, end), strict=False):
            if one != other:
                ahead = zip(one.split(b"\n")[:-1], other.split(b"\n")[:-1], strict=False)
                return same + sum(1 for _ in takewhile(lambda both: both[0] == both[1], ahead))
            same += one.count(b"\n")
    return same


def _pieces(file: BinaryIO, end: int) -> Iterator[bytes]:
    """The file up to a byte, in pieces."""
    while end > 0 and (piece := file.read(min(end, _PIECE_BYTES))):
        yield piece
        end -= len(piece)


def damages_of(copy: Path) -> list[Damage]:
    """Every line of a copy that is not as it was written."""
    return [damage for damage in read_book(copy)[1] if damage.counts]


def left_out(book: Path) -> list[Damage]:
    """What is called like a file of the book and is none, so that it is not copied."""
    found = [set_apart(book, name) for name in sorted(marks(book)) if not _is_file(book, name)]
    return [one for one in found if one is not None]


def _is_file(book: Path, name: str) -> bool:
    path = path_of(book, name)
    return path.is_file() and not path.is_symlink()


def back_up(book: Path, copy: Path) -> int:
    """Copy every file of the book, sync each, read it again and compare.

    An earlier copy in the folder is brought up to date, if the book still contains it. Links
    are not followed, and only files are read.

    Returns:
        How many files were copied.

    Raises:
        BookError: the folder holds other things or lines that the book has not, or a file
            cannot be copied as it is. What was there before is still there.
    """
    _must_be_fit(book, copy)
    try:
        make_folder(copy)
    except OSError as reason:
        raise _refused(copy, reason, "written") from reason
    wanted = [
        (path_of(book, name), path_of(copy, name))
        for name in sorted(marks(book))
        if _is_file(book, name)
    ]
    wanted += [(book / name, copy / name) for name in _OTHERS if (book / name).is_file()]
    for source, target in wanted:
        try:
            _copied(source.resolve() if source.name in _OTHERS else source, target)
        except OSError as reason:
            raise _refused(target, reason, "written") from reason
    try:
        _make_last(copy)
    except OSError as reason:
        raise _refused(copy, reason, "written") from reason
    return len(wanted)


def _make_last(copy: Path) -> None:
    """Sync the names of the folders too; a killed run may have made them, and not come to it."""
    sync_folder(copy)
    with suppress(PermissionError):  # one that is not ours to read
        sync_folder(copy.resolve().parent)


def _must_be_fit(book: Path, copy: Path) -> None:
    if copy.resolve().is_relative_to(book.resolve()):
        raise BookError(
            "A copy inside the book would be lost with it.",
            where=str(copy),
            do="name a folder elsewhere, best on another disk.",
        )
    if (copy / "events").is_symlink():
        raise BookError(
            "The folder events there is a link, which is not followed.",
            where=str(copy),
            do="name a new folder, or one that holds an earlier copy.",
        )
    if copy.exists() and (not copy.is_dir() or _holds_other_things(copy)):
        raise BookError(
            "There is something else there, and nothing is written over it.",
            where=str(copy),
            do="name a new folder, or one that holds an earlier copy.",
        )
    more = [one for one in compare(book, copy) if one.only_copy]
    if more:
        raise BookError(
            f"The copy there holds {more[0].only_copy} lines of {more[0].file} that the book "
            "does not: they were removed or changed in the book since.",
            where=f"{copy}; nothing was copied",
            do="`stillroom backup DIR --verify` says more; name a new folder to keep both.",
        )


def _holds_other_things(copy: Path) -> bool:
    return any(copy.iterdir()) and not (copy / "events").is_dir()


def _copied(source: Path, target: Path) -> None:
    """One file, written beside, synced, read back, and only then put in its place."""
    target.parent.mkdir(mode=0o700, exist_ok=True)
    whole = sha256()
    with opened_regular(source) as old, begun_beside(target) as (fresh, new):
        for piece in iter(partial(old.read, _PIECE_BYTES), b""):
            whole.update(piece)
            new.write(piece)
        sync_begun(fresh, new)
        new.close()
        if _digest(fresh) != whole.digest():
            raise OSError(errno.EIO, "the copy does not read back as it was written")
        fresh.replace(target)
    sync_folder(target.parent)


def _digest(path: Path) -> bytes:
    whole = sha256()
    with opened_regular(path) as file:
        for piece in iter(partial(file.read, _PIECE_BYTES), b""):
            whole.update(piece)
    return whole.digest()


def _refused(path: Path, reason: OSError, verb: str) -> BookError:
    return BookError(
        f"The copy cannot be {verb}: {reason.strerror}.",
        where=str(path),
        do="name a folder that you may write in, on a disk with room.",
    )
