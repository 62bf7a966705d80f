"""A synchronising tool at work in the folder of the events, just before one call of the program."""

import os
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

# An older copy of the own file is put in its place; the same bytes are, as a new file; the file
# is taken away; a conflict copy of it is laid beside.
TOOLS = ("older-copy", "same-copy", "taken-away", "conflict-copy")
# After these something that was recorded may be gone, and has to be missed.
TAKING = ("older-copy", "taken-away")
CONFLICT = ".sync-conflict-20260101-120000-ABCDEFG.jsonl"


class Tool:
    """The tool, which knows the file as it was when the program was started."""

    def __init__(self, root: str, really: Mapping[str, Callable[..., Any]]) -> None:
        self._events = Path(root, "book", "events")
        self._really = really
        self._before = self._bytes()

    def _own(self) -> Path | None:
        """The one file of the book."""
        try:
            names = self._really["listdir"](self._events)
        except OSError:
            return None
        own = [one for one in names if one.endswith(".jsonl") and "conflict" not in one]
        return self._events / own[0] if own else None

    def _bytes(self) -> bytes | None:
        own = self._own()
        if own is None:
            return None
        descriptor = self._really["open"](own, os.O_RDONLY)
        data: bytes = self._really["read"](descriptor, 1 << 24)
        self._really["close"](descriptor)
        return data

    def acts(self, kind: str) -> bool:
        """Whether there was anything to do."""
        own, now = self._own(), self._bytes()
        if own is None or now is None:
            return False
        if kind == "taken-away" or (kind == "older-copy" and self._before is None):
            self._really["unlink"](own)
        elif kind == "conflict-copy":
            self._write(own.with_name(own.stem + CONFLICT), now)
        else:
            older = self._before if self._before != now else b"".join(now.splitlines(True)[:-1])
            fresh = own.with_name(".tool.tmp")
            self._write(fresh, now if kind == "same-copy" else older or b"")
            self._really["replace"](fresh, own)
        return True

    def _write(self, file: Path, data: bytes) -> None:
        descriptor = self._really["open"](file, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
        self._really["write"](descriptor, data)
        self._really["close"](descriptor)
