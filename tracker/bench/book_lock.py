"""One lock for one folder, whichever path leads to it; the system frees it with the process.

What is locked is the folder itself, so that a bind mount, a link, another spelling and another
state folder all come to the same lock. Some network systems and Windows lock no folders: there a
file beside is locked in its place, and holds among those that keep it in the same state folder.
"""

import errno
import os
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

_LOOK_AGAIN_S = 0.02
# A folder that is taken away more often than this while it is being opened stays away.
_TRIES = 50
_FLAGS = os.O_RDONLY | getattr(os, "O_DIRECTORY", 0)


class HeldError(Exception):
    """Another process, or another part of this one, holds the lock and went on holding it."""


@contextmanager
def held(folder: Path, *, beside: Path, timeout_s: float, make: bool = False) -> Iterator[None]:
    """Hold the lock of a folder.

    No child process inherits it.

    Args:
        folder: what is locked; replaced while it is waited for, the one that came is locked.
        beside: the file that is locked where the folder cannot be.
        timeout_s: how long to wait; 0 asks once.
        make: whether to make the folder where it is missing. Made for nothing, it goes again.

    Raises:
        HeldError: somebody else has it.
        OSError: the folder is not there, or can be neither opened nor made.
    """
    end = time.monotonic() + timeout_s
    made: list[Path] = []
    descriptor = _locked(folder, end, made if make else None) if os.name != "nt" else None
    if descriptor is None:
        with _held_beside(beside, timeout_s):
            if make:
                folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            yield
        return
    try:
        yield
    finally:
        _unmake(made)
        with suppress(OSError):  # nothing that was done meanwhile hangs on it
            os.close(descriptor)


def is_held(folder: Path, *, beside: Path) -> bool:
    """Whether anybody holds the lock of a folder now; of one that is not there nobody does."""
    try:
        if not folder.exists() or (os.name == "nt" and not beside.exists()):
            return False
        with held(folder, beside=beside, timeout_s=0):
            return False
    except HeldError:
        return True
    except OSError:
        return False


def _locked(folder: Path, end: float, made: list[Path] | None) -> int | None:
    """The descriptor that holds the lock of what stands at the path; None where none can."""
    for attempt in range(_TRIES):
        try:
            if made is not None:
                _make(folder, made)
            descriptor = os.open(folder, _FLAGS)
        except FileNotFoundError:
            if made is None or attempt == _TRIES - 1:
                raise
            continue  # made by another who had no use for it, and took it away
        try:
            if not _flocked(descriptor, end):
                os.close(descriptor)
                return None
            if _is_at(descriptor, folder):
                return descriptor
        except BaseException:
            os.close(descriptor)
            raise
        os.close(descriptor)
    raise HeldError


def _flocked(descriptor: int, end: float) -> bool:
    """Whether the folder is locked now; False where the system locks no folders there."""
    import fcntl

    while True:
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError as reason:
            if reason.errno not in (errno.EAGAIN, errno.EWOULDBLOCK):
                return False  # such as EBADF from NFS, where only files open for writing lock
            if time.monotonic() >= end:
                raise HeldError from reason
            time.sleep(_LOOK_AGAIN_S)
        else:
            return True


def _is_at(descriptor: int, folder: Path) -> bool:
    try:
        return os.path.samestat(os.fstat(descriptor), folder.stat())
    except FileNotFoundError:
        return False


def _make(folder: Path, made: list[Path]) -> None:
    """Make what is missing of the path, for its maker alone."""
    if folder.is_dir():
        return
    missing = [one for one in (folder, *folder.parents) if not one.exists()]
    for one in reversed(missing):
        with suppress(FileExistsError):
            one.mkdir(mode=0o700)
            made.append(one)


def _unmake(made: list[Path]) -> None:
    """Take away what was made and stayed empty."""
    with suppress(OSError):
        for one in reversed(made):
            one.rmdir()


@contextmanager
def _held_beside(file: Path, timeout_s: float) -> Iterator[None]:
    from filelock import FileLock, Timeout

    file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    lock = FileLock(file, timeout=timeout_s)
    try:
        lock.acquire()
    except Timeout as reason:
        raise HeldError from reason
    try:
        yield
    finally:
        with suppress(OSError):
            lock.release()
