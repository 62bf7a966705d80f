"""A copy of a book made a book again, in a folder of its own; nothing is ever written over."""

import errno
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from tracker.core.values.errors import BookError
from tracker.journal.backup import Compared, back_up, compare, damages_of
from tracker.journal.file_marks import Damage
from tracker.journal.whole_file import make_folder, sync_folder

# What a run that was killed left beside the place; hidden, and never taken for a book by its name.
_BEGUN = ".stillroom-restoring-"
_STALE_S = 3600.0


def restore(copy: Path, place: Path) -> int:
    """Make a book of a copy: written beside, synced, read back, and only then put in its place.

    Args:
        copy: a whole one; its damages were asked about before.
        place: a folder that is not there yet, or is empty.

    Returns:
        How many lines it has.

    Raises:
        BookError: there is no copy, the place is not free, or it cannot be written as it is.
    """
    must_be_a_copy(copy)
    _must_be_free(copy, place)
    try:
        make_folder(place.parent)
        with _begun_beside(place) as fresh:
            back_up(copy, fresh)
            lines = _read_back(copy, fresh)
            if place.exists():
                place.rmdir()
            fresh.rename(place)
        sync_folder(place.parent)
    except OSError as reason:
        raise BookError(
            f"The book cannot be put there: {reason.strerror or reason}.",
            where=str(place),
            do="name a new folder that you may write in, on a disk with room.",
        ) from reason
    return lines


def must_be_a_copy(copy: Path) -> None:
    """Raise BookError where no copy of a book is."""
    events = copy / "events"
    if events.is_symlink() or not events.is_dir():
        raise BookError(
            "There is no copy of a book there.",
            where=str(copy),
            do="name the folder that `stillroom backup` wrote; it holds a folder named events.",
        )


def _must_be_free(copy: Path, place: Path) -> None:
    """Raise BookError where anything stands that could be lost or mixed up."""
    if os.path.lexists(place) and (
        place.is_symlink() or not place.is_dir() or any(place.iterdir())
    ):
        raise BookError(
            "There is something there already, and nothing is written over it.",
            where=str(place),
            do="name a new folder, or an empty one.",
        )
    if place.resolve().is_relative_to(copy.resolve()):
        raise BookError(
            "That is inside the copy itself.", where=str(place), do="name a folder elsewhere."
        )


@contextmanager
def _begun_beside(place: Path) -> Iterator[Path]:
    """A folder to write in, beside the place; what killed runs left there long ago goes."""
    _clear(place.parent)
    fresh = place.with_name(f"{_BEGUN}{os.urandom(8).hex()}")
    fresh.mkdir(mode=0o700)
    try:
        yield fresh
    finally:
        shutil.rmtree(fresh, ignore_errors=True)


def _clear(folder: Path) -> None:
    with suppress(OSError):
        newest = folder.stat().st_mtime
        for one in folder.glob(f"{_BEGUN}*"):
            is_ours = not hasattr(os, "getuid") or one.lstat().st_uid == os.getuid()
            if is_ours and one.lstat().st_mtime < newest - _STALE_S:
                shutil.rmtree(one, ignore_errors=True)


def _read_back(copy: Path, fresh: Path) -> int:
    """How many lines were written, once all of them are known to be those of the copy."""
    files = compare(copy, fresh)
    if damages_of(fresh) or any(one.only_book or one.only_copy for one in files):
        raise OSError(errno.EIO, "it does not read back as it was written")
    return sum(one.lines for one in files)


def saved(copy: Path, damages: list[Damage]) -> int:
    """How many lines of a damaged copy are as they were written, at least."""
    lines = sum(one.lines for one in compare(copy, copy))
    return max(lines - len({(one.file, one.line) for one in damages if one.line}), 0)


def against(book: Path, restored: Path) -> tuple[int, int]:
    """How many lines the book at hand alone has, and how many the restored one alone has."""
    files: list[Compared] = compare(book, restored)
    return sum(one.only_book for one in files), sum(one.only_copy for one in files)
