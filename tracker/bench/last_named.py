"""The codes that the last command here named, which `.` stands for; it may be gone at any time."""

import os
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from zlib import crc32

from tracker.journal.regular_file import read_regular

NAME = "last-named"
_MOST_BYTES = 1 << 16
_FLAGS = os.O_WRONLY | os.O_CREAT | os.O_TRUNC | getattr(os, "O_NOFOLLOW", 0)


def last_named(state: Path) -> list[str]:
    """The codes; none where nothing is remembered, or what is has been damaged."""
    told, _, codes = _kept(state).partition(b" ")
    if told != b"%08x" % crc32(codes):
        return []
    return [code for code in codes.decode(errors="replace").split("\n") if code]


def remember_named(state: Path, codes: Sequence[str]) -> None:
    """Keep these codes, if they are others than before; where that cannot be, forget the last."""
    named = "\n".join(codes).encode()
    kept = b"%08x %b" % (crc32(named), named)
    if kept == _kept(state):
        return
    file = state / NAME
    try:
        _write(file, kept)
    except OSError:
        with suppress(OSError):
            state.mkdir(mode=0o700, parents=True, exist_ok=True)
            file.unlink(missing_ok=True)  # a link, or another's: it makes room
            _write(file, kept)


def _kept(state: Path) -> bytes:
    try:
        return read_regular(state / NAME, _MOST_BYTES)
    except OSError:
        return b""


def _write(file: Path, kept: bytes) -> None:
    descriptor = os.open(file, _FLAGS, 0o600)
    try:
        os.write(descriptor, kept)
    finally:
        os.close(descriptor)
