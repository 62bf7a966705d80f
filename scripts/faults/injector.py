"""Faults at the calls of `os` and `open` of this process, counted below one folder.

What the standard library does in C, below `os`, is not seen: SQLite's own files get their
faults from strace.
"""

import _pyio  # type: ignore[import-not-found]  # typeshed does not know it
import builtins
import errno
import fcntl
import io
import os
import signal
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from posixpath import normpath
from typing import Any

from faults.cases import CHANGES, ERRORS, GROWS, Call, Fault
from faults.tools import TOOLS, Tool

ON_DESCRIPTORS = ("read", "write", "fsync", "ftruncate", "close", "fstat", "lseek", "fchmod")
_NAMES = tuple(name for name in ERRORS if name != "flock")


@dataclass(frozen=True)
class Change:
    """One change of the disk as the program asked for it, for the simulated power cut."""

    what: str  # make, folder, write, cut, sync, sync folder, rename, unlink
    path: str
    inode: int = 0
    start: int = 0
    data: bytes = b""
    to: str = ""
    mode: int = 0o600


class Injector:
    """Stands between this process and its disk; made in a child that ends with it."""

    def __init__(self, root: str, faults: Sequence[Fault], hit: Callable[[], None]) -> None:
        self._root = root.rstrip("/") + "/"
        self._plan = {(one.name, one.number): one.kind for one in faults}
        self._hit = hit
        self._seen: Counter[str] = Counter()
        self._paths: dict[int, str] = {}
        self._broken: tuple[frozenset[str], int] | None = None
        self._really: dict[str, Callable[..., Any]] = {name: getattr(os, name) for name in _NAMES}
        self._really["flock"] = fcntl.flock
        self._open_really = builtins.open
        self._tool = Tool(root, self._really)
        self.calls: list[Call] = []
        self.changes: list[Change] = []

    def install(self) -> None:
        """From now on every call below the folder goes through here."""
        for name in _NAMES:
            setattr(os, name, self._standing_in(name))
        fcntl.flock = self._standing_in("flock")
        builtins.open = io.open = self._open

    def _open(self, file: Any, *more: Any, **named: Any) -> Any:  # noqa: ANN401  # as `open` itself
        """Below the folder a file that calls `os` for all it does; elsewhere the usual one."""
        inside = file in self._paths if isinstance(file, int) else self._below(file)
        return (_pyio.open if inside else self._open_really)(file, *more, **named)

    def _below(self, path: object) -> str | None:
        if not isinstance(path, str | bytes | os.PathLike):
            return None
        text = os.fsdecode(path)
        if not text.startswith("/"):
            text = f"{os.getcwd()}/{text}"  # noqa: PTH109  # pathlib would come through here
        text = normpath(text) + "/"
        return text[len(self._root) : -1] if text.startswith(self._root) else None

    def _on(self, name: str, given: Sequence[Any]) -> str | None:
        if not given:
            return None
        if name in ON_DESCRIPTORS or name == "flock":
            return self._paths.get(given[0])
        if isinstance(given[0], int):
            return self._paths.get(given[0])
        return self._below(given[0])

    def _standing_in(self, name: str) -> Callable[..., Any]:
        really = self._really[name]

        def call(*given: Any, **named: Any) -> Any:  # noqa: ANN401  # whatever the call answers
            on = self._on(name, given)
            if on is None or "dir_fd" in named:
                return really(*given, **named)
            return self._step(name, on, given, named)

        return call

    def _step(self, name: str, on: str, given: Sequence[Any], named: dict[str, Any]) -> object:
        self._seen[name] += 1
        changes = name != "open" or bool(given[1] & (os.O_CREAT | os.O_TRUNC))
        self.calls.append(Call(name, self._seen[name], on, changes))
        kind = self._plan.get((name, self._seen[name]))
        if kind in TOOLS:
            if self._tool.acts(kind):
                self._hit()
        elif kind is not None:
            self._hit()
            if kind.endswith("-on"):
                names = CHANGES if kind == "EIO-on" else GROWS
                self._broken = names, getattr(errno, kind.removesuffix("-on"))
            else:
                return self._fault(kind, name, on, given, named)
        if self._broken is not None and changes and name in self._broken[0]:
            raise OSError(self._broken[1], os.strerror(self._broken[1]), on)
        return self._done(name, on, given, named)

    def _fault(
        self, kind: str, name: str, on: str, given: Sequence[Any], named: dict[str, Any]
    ) -> object:
        if kind == "kill-before":
            os.kill(os.getpid(), signal.SIGKILL)
        if kind == "kill-after":
            self._done(name, on, given, named)
            os.kill(os.getpid(), signal.SIGKILL)
        if kind in ("kill-half", "half-then-ENOSPC", "short", "lie"):
            part = bytes(given[1])[: max(len(given[1]) // 2, 1)]
            written = self._done(name, on, (given[0], part), named)
            if kind == "kill-half":
                os.kill(os.getpid(), signal.SIGKILL)
            if kind == "half-then-ENOSPC":
                self._plan[name, self._seen[name] + 1] = "ENOSPC"
            return len(given[1]) if kind == "lie" else written
        if name == "close":  # an error of close is told of a descriptor that is closed
            self._done(name, on, given, named)
        number = getattr(errno, kind)
        raise OSError(number, os.strerror(number), on)

    def _done(self, name: str, on: str, given: Sequence[Any], named: dict[str, Any]) -> object:
        """Do it, and note what it changes on the disk."""
        if name == "open":
            return self._opened(on, given, named)
        if name == "write":
            return self._written(on, given)
        answer: object = self._really[name](*given, **named)
        if name == "close":
            self._paths.pop(given[0], None)
        elif name == "ftruncate":
            inode = self._really["fstat"](given[0]).st_ino
            self.changes.append(Change("cut", on, inode, start=given[1]))
        elif name == "fsync":
            seen = self._really["fstat"](given[0])
            what = "sync folder" if seen.st_mode & 0o40000 else "sync"
            self.changes.append(Change(what, on, seen.st_ino))
        elif name == "mkdir":
            self.changes.append(Change("folder", on))
        elif name in ("replace", "rename", "link"):
            to = self._below(given[1]) or ""
            self.changes.append(Change("link" if name == "link" else "rename", on, to=to))
        elif name in ("unlink", "remove", "rmdir"):
            self.changes.append(Change("unlink", on))
        return answer

    def _opened(self, on: str, given: Sequence[Any], named: dict[str, Any]) -> object:
        flags = given[1]
        is_new = False
        if flags & os.O_CREAT:
            try:
                self._really["lstat"](given[0])
            except OSError:
                is_new = True
        descriptor: int = self._really["open"](*given, **named)
        self._paths[descriptor] = on
        seen = self._really["fstat"](descriptor)
        if is_new:
            mode = seen.st_mode & 0o777
            self.changes.append(Change("make", on, seen.st_ino, mode=mode))
        elif flags & os.O_TRUNC:
            self.changes.append(Change("cut", on, seen.st_ino))
        return descriptor

    def _written(self, on: str, given: Sequence[Any]) -> object:
        descriptor, data = given[0], bytes(given[1])
        seen = self._really["fstat"](descriptor)
        is_at_end = fcntl.fcntl(descriptor, fcntl.F_GETFL) & os.O_APPEND
        start = seen.st_size if is_at_end else self._really["lseek"](descriptor, 0, os.SEEK_CUR)
        sent: int = self._really["write"](descriptor, data)
        self.changes.append(Change("write", on, seen.st_ino, start, data[:sent]))
        return sent
