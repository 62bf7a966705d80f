"""Changes of a book as the system tells them: inotify(7), which Linux alone has."""

import ctypes
import os
import struct
import sys
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import Final

from tracker.core.practice.practice import PRACTICE_FILE

# From <sys/inotify.h>: written to; moved away, here, made, taken away; the folder itself went.
_CHANGES: Final = 0x2 | 0x40 | 0x80 | 0x100 | 0x200 | 0x400 | 0x800
_ONLY_A_FOLDER: Final = 0x01000000
_OVERFLOW: Final = 0x4000
# Which watch, what happened, a number of no use here, how many bytes of a name follow.
_EVENT: Final = struct.Struct("iIII")
_MOST_BYTES: Final = 65536

Add = Callable[[int, bytes, int], int]
Drop = Callable[[int, int], int]


class BookWatch:
    """Watches the folder of a book, and that of its events, as far as the system tells.

    It tells nothing where there is no inotify, where every watch of the user is taken, and of what
    another machine does in a folder of the network.
    """

    def __init__(self, book: Path) -> None:
        # In the book's own folder stand other things too, such as a page that is kept there.
        self._names: dict[Path, frozenset[bytes] | None] = {
            book: frozenset({b"events", PRACTICE_FILE.encode()}),
            book / "events": None,
        }
        self._watches: dict[Path, int] = {}
        self.descriptor: int | None = None
        self._open()

    def _open(self) -> None:
        if sys.platform != "linux":
            return
        try:
            library = ctypes.CDLL(None)
            self._add: Add = library.inotify_add_watch
            self._drop: Drop = library.inotify_rm_watch
            found = library.inotify_init1(os.O_NONBLOCK | os.O_CLOEXEC)
        except (AttributeError, OSError):
            return
        self.descriptor = found if found >= 0 else None

    def aim(self) -> None:
        """Watch what stands at the two paths now: a folder that was replaced is another one."""
        if self.descriptor is None:
            return
        for folder in self._names:
            # Of what is watched already it gives the same number.
            watch = self._add(self.descriptor, os.fsencode(folder), _CHANGES | _ONLY_A_FOLDER)
            before = self._watches.pop(folder, -1)
            if before not in (-1, watch):
                self._drop(self.descriptor, before)
            if watch != -1:
                self._watches[folder] = watch

    def has_changed(self) -> bool:
        """Whether the book changed since it was asked last; never waits."""
        names = {
            self._watches[folder]: names
            for folder, names in self._names.items()
            if folder in self._watches
        }
        return any(
            what & _OVERFLOW or (watch in names and _is_among(name, names[watch]))
            for watch, what, name in list(self._told())
        )

    def _told(self) -> Iterator[tuple[int, int, bytes]]:
        """Each change that the system has told and nobody read: where, what, and of which name."""
        if self.descriptor is None:
            return
        with suppress(BlockingIOError):
            while read := os.read(self.descriptor, _MOST_BYTES):
                place = 0
                while place < len(read):
                    watch, what, _, length = _EVENT.unpack_from(read, place)
                    place += _EVENT.size
                    yield watch, what, read[place : place + length].rstrip(b"\0")
                    place += length

    def close(self) -> None:
        """Watch nothing any more."""
        if self.descriptor is not None:
            os.close(self.descriptor)
            self.descriptor = None


def _is_among(name: bytes, names: frozenset[bytes] | None) -> bool:
    return names is None or not name or name in names
