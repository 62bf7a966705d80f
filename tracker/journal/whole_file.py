"""Giving a file new contents in one step: a reader finds the old or the new, never a half."""

import errno
import os
from contextlib import suppress
from pathlib import Path

# As any program makes a file: what the user's umask leaves of it.
SHARED = 0o666
_FLAGS = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)

# What a file system answers that syncs no folders.
_NOT_FOR_FOLDERS = (errno.EINVAL, errno.ENOTSUP)


def write_whole(file: Path, contents: bytes, *, mode: int = 0o600) -> None:
    """Write a file beside, sync it, and put it in the place of the old one.

    Args:
        file: where to; its folder must be there.
        contents: all of it.
        mode: who may read and write it; its maker alone where it is not said.

    Raises:
        OSError: the disk refused; what stood there before still does.
    """
    # Hidden and so named, synchronising tools and readers of the book leave it alone.
    fresh = file.with_name(f".{file.name}.{os.getpid()}.tmp")
    fresh.unlink(missing_ok=True)
    try:
        with os.fdopen(os.open(fresh, _FLAGS, mode), "wb") as stream:
            stream.write(contents)
            stream.flush()
            os.fsync(stream.fileno())
        fresh.replace(file)
    except BaseException:
        with suppress(OSError):
            fresh.unlink(missing_ok=True)
        raise
    sync_folder(file.parent)


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
