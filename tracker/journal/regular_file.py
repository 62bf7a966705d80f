"""Reading a file that may not be one: a pipe or a device in its place keeps nobody waiting."""

import errno
import os
import stat
from pathlib import Path
from typing import BinaryIO

_FLAGS = (
    os.O_RDONLY
    | getattr(os, "O_NONBLOCK", 0)  # a pipe keeps one waiting for its writer
    | getattr(os, "O_CLOEXEC", 0)
    | getattr(os, "O_BINARY", 0)
)
_NO_LINK = getattr(os, "O_NOFOLLOW", 0)


class NotRegularError(OSError):
    """Something stands there, and it is no file that could be read."""

    def __init__(self, file: Path) -> None:
        super().__init__(errno.EINVAL, "it is not an ordinary file", str(file))


def is_regular(file: Path) -> bool:
    """Whether a regular file stands there: no folder, link, pipe or device."""
    try:
        return stat.S_ISREG(os.lstat(file).st_mode)
    except (OSError, ValueError):
        return False


def opened_regular(file: Path, *, through_link: bool = False) -> BinaryIO:
    """A regular file, open to be read.

    Args:
        file: which; looked at once it is open, so that nothing takes its place in between.
        through_link: whether a link is followed to where it leads.

    Raises:
        NotRegularError: it is no file.
        OSError: it cannot be read.
    """
    descriptor = os.open(file, _FLAGS if through_link else _FLAGS | _NO_LINK)
    try:
        if not stat.S_ISREG(os.fstat(descriptor).st_mode):
            raise NotRegularError(file)
        return os.fdopen(descriptor, "rb")
    except BaseException:
        os.close(descriptor)
        raise


def read_regular(file: Path, most_bytes: int, *, through_link: bool = False) -> bytes:
    """The beginning of a regular file.

    Raises:
        NotRegularError: it is no file.
        OSError: it cannot be read.
    """
    with opened_regular(file, through_link=through_link) as opened:
        return opened.read(most_bytes)
