"""Giving a file new contents in one step: a reader finds the old or the new, never a half."""

import errno
import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from itertools import takewhile
from pathlib import Path
from typing import BinaryIO

from tracker.core.values.errors import BookError
from tracker.journal.regular_file import is_regular

# As any program makes a file: what the user's umask leaves of it.
SHARED = 0o666
_FLAGS = (
    os.O_WRONLY
    | os.O_CREAT
    | os.O_EXCL
    | getattr(os, "O_NOFOLLOW", 0)
    | getattr(os, "O_BINARY", 0)
    | getattr(os, "O_CLOEXEC", 0)
)

# How a file is called while it is written. Hidden, so that synchronising tools and readers of the
# book leave it alone; with chance in it, so that nobody can lay a link in its way.
_BEGUN, _CHANCE_BYTES = ".stillroom-", 12
_STALE_S = 3600.0
# A disk that once refuses to take a name away may do it when asked once more.
_TRIES = 3

# What a file system answers that syncs no folders, or knows no second names of a file.
_NOT_FOR_FOLDERS = (errno.EINVAL, errno.ENOTSUP)
_NO_LINKS = (errno.EPERM, errno.ENOTSUP, errno.ENOSYS, errno.EMLINK, errno.EACCES)


def write_whole(file: Path, contents: bytes, *, mode: int = 0o600) -> None:
    """Write a file of our own beside, sync it, and put it in the place of the old one.

    Args:
        file: where to; its folder must be there.
        contents: all of it.
        mode: who may read and write it; its maker alone where it is not said.

    Raises:
        OSError: the disk refused; what stood there before still does.
    """
    with _written_beside(file, contents, mode) as fresh:
        fresh.replace(file)
    sync_folder(file.parent)


def write_new(file: Path, contents: bytes, *, force: bool = False) -> None:
    """Write a file that a person named: to be read by its maker alone, over nothing.

    Args:
        file: where to; its folder must be there.
        contents: all of it.
        force: whether a regular file that stands there is replaced.

    Raises:
        FileExistsError: something stands there, and it still does; what is part of a book
            stays whatever is said.
        OSError: the disk refused, or a book would take it for a part of itself; nothing is
            left of it.
    """
    if force and is_regular(file) and not _is_of_a_book(file):
        write_whole(file, contents)
        return
    if os.path.lexists(file):
        raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(file))
    if _is_of_a_book(file):
        raise OSError(errno.EPERM, "the book keeps files of its own there", str(file))
    with _written_beside(file, contents, 0o600) as fresh:
        try:
            os.link(fresh, file, follow_symlinks=False)
        except OSError as reason:
            if reason.errno not in _NO_LINKS:
                raise
            _write_in_place(file, contents)
    sync_folder(file.parent)


def not_written(file: Path, reason: Exception) -> BookError:
    """What to say of a file that a person named and that cannot be written."""
    return BookError(
        f"It cannot be written: {getattr(reason, 'strerror', None) or reason}.",
        where=str(file),
        do="name a file that you may write, in a folder that exists.",
    )


def _is_of_a_book(file: Path) -> bool:
    """Whether a book has, or would take, a file for lines of it or for the rules beside them."""
    real = Path(os.path.realpath(file))
    return real.suffix == ".jsonl" or (real.with_name("events").is_dir() and real.suffix == ".toml")


@contextmanager
def begun_beside(file: Path, mode: int = 0o600) -> Iterator[tuple[Path, BinaryIO]]:
    """A new file beside, open to be written, under a name that nobody guesses.

    At the end that name is gone, and with it what earlier runs of ours began here and, killed,
    left behind. What is written to it is put in the place of the other inside the block.

    Args:
        file: what it is to become; its folder must be there.
        mode: who may read and write it.

    Raises:
        OSError: the disk refused.
    """
    fresh = file.with_name(f"{_BEGUN}{os.urandom(_CHANCE_BYTES).hex()}.tmp")
    try:
        with os.fdopen(os.open(fresh, _FLAGS, mode), "wb") as stream:
            yield fresh, stream
    finally:
        take_away(fresh)


def sync_begun(fresh: Path, stream: BinaryIO) -> None:
    """Make what was written to a file that was begun last, and take away what is stale there."""
    stream.flush()
    os.fsync(stream.fileno())
    _clear(fresh.parent, os.fstat(stream.fileno()).st_mtime - _STALE_S)


@contextmanager
def _written_beside(file: Path, contents: bytes, mode: int) -> Iterator[Path]:
    """The contents, synced and closed, under a name that nobody guesses; it is gone at the end."""
    with begun_beside(file, mode) as (fresh, stream):
        stream.write(contents)
        sync_begun(fresh, stream)
        _must_hold(stream, contents)
        stream.close()
        yield fresh


def _must_hold(stream: BinaryIO, contents: bytes) -> None:
    """Count what was written: a disk may say that it took what it did not."""
    if os.fstat(stream.fileno()).st_size != len(contents):
        raise OSError(errno.EIO, os.strerror(errno.EIO))


def take_away(file: Path) -> None:
    """Take away what was begun, as far as the disk lets us."""
    for _ in range(_TRIES):
        with suppress(OSError):
            file.unlink(missing_ok=True)
            return


def _write_in_place(file: Path, contents: bytes) -> None:
    """For file systems without links: alone where nothing stands, and whole or taken away."""
    descriptor = os.open(file, _FLAGS, 0o600)
    try:
        with os.fdopen(descriptor, "wb") as stream:
            stream.write(contents)
            stream.flush()
            os.fsync(stream.fileno())
            _must_hold(stream, contents)
    except BaseException:
        take_away(file)
        raise


def _clear(folder: Path, before_s: float) -> None:
    """Take away what our own runs began in this folder and, killed, never finished."""
    length = len(_BEGUN) + 2 * _CHANCE_BYTES + len(".tmp")
    with suppress(OSError), os.scandir(folder) as found:
        for one in found:
            if not one.name.startswith(_BEGUN) or len(one.name) != length:
                continue
            seen = one.stat(follow_symlinks=False)
            is_ours = not hasattr(os, "getuid") or seen.st_uid == os.getuid()
            if stat.S_ISREG(seen.st_mode) and is_ours and seen.st_mtime < before_s:
                with suppress(OSError):
                    Path(one.path).unlink()


def make_folder(folder: Path) -> None:
    """Make a folder, for its maker alone, that lasts through a power cut; and those above it.

    Raises:
        OSError: the disk refused.
    """
    missing = takewhile(lambda one: not one.exists(), (folder, *folder.parents))
    for one in reversed(list(missing)):
        one.mkdir(mode=0o700, exist_ok=True)
        with suppress(PermissionError):  # one that is not ours to read
            sync_folder(one.parent)


def sync_folder(folder: Path) -> None:
    """Make a new name in the folder last through a power cut, where the system can."""
    if os.name == "nt":
        return
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    except OSError as reason:
        if reason.errno not in _NOT_FOR_FOLDERS:
            raise
    finally:
        os.close(descriptor)
