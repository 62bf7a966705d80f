"""A writer's own file, opened to be appended to: a plain file, there to stay."""

import errno
import os
import stat
from contextlib import suppress
from pathlib import Path

from tracker.core.values.errors import BookError
from tracker.journal.whole_file import sync_folder

_FLAGS = (
    os.O_RDWR
    | os.O_APPEND
    | getattr(os, "O_NOFOLLOW", 0)
    | getattr(os, "O_NONBLOCK", 0)
    | getattr(os, "O_BINARY", 0)
)
# What a system answers to opening a link, a folder or a socket as a plain file.
_NO_PLAIN_FILE = (errno.ELOOP, errno.EISDIR, errno.ENXIO, errno.EMLINK)


def own_file(path: Path) -> int | None:
    """The descriptor of the file, made where it is missing; None where it comes and goes.

    A new one has its folders synced before anything is written, so that no line can stand in a
    file whose name a power cut takes away.

    Raises:
        BookError: what stands there is no plain file.
        OSError: the disk refused.
    """
    is_new = False
    try:
        if path.is_symlink():  # not every system can be told to open none
            raise _no_plain_file(path)
        descriptor = _opened(path)
    except FileNotFoundError:
        for folder in (path.parent.parent, path.parent):  # a parent made for it has no such mode
            folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        try:
            descriptor, is_new = os.open(path, _FLAGS | os.O_CREAT | os.O_EXCL, 0o600), True
        except FileExistsError:
            return None
    try:
        found = os.fstat(descriptor)
        if not stat.S_ISREG(found.st_mode):
            raise _no_plain_file(path)
        if found.st_size == 0:  # new, or nobody came to its first line
            _make_last(path)
    except BaseException:
        os.close(descriptor)
        if is_new:
            with suppress(OSError):
                path.unlink()
        raise
    return descriptor


def _opened(path: Path) -> int:
    try:
        return os.open(path, _FLAGS)
    except OSError as reason:
        if reason.errno in _NO_PLAIN_FILE:
            raise _no_plain_file(path) from reason
        raise


def _make_last(path: Path) -> None:
    """Sync the folders that lead to the file; one that is not ours to read is left out."""
    events, book = path.parent, path.parent.parent
    sync_folder(events)
    sync_folder(book)
    with suppress(PermissionError):
        sync_folder(book.absolute().parent)


def _no_plain_file(path: Path) -> BookError:
    return BookError(
        "A link, a folder or a device stands where this writer's file belongs, and nothing is "
        "written through it.",
        where=f"{path}; nothing was recorded",
        do="move it away, and put the file itself in its place; or name another writer with "
        "STILLROOM_WRITER.",
    )
