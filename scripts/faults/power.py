"""Power cuts on a simulated disk: what a disk may hold that was told to sync this and not that.

POSIX promises of a file only what was synced through it, and of a name only what was synced
through its folder. So after every change each file may hold any beginning of what was written
since its last sync, the last write torn or its bytes still zeros, and each folder any beginning
of the names that came and went since. Of all the ways these go together a few are tried: nothing
more than was promised, all of it, each one alone, and some drawn by the seed.
"""

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import product

from faults.homes import Node, Tree
from faults.injector import Change

MOST_STATES = 10
_DRAWN_OF = 4096


@dataclass
class _File:
    """What of a file is safe, and what was asked for since."""

    safe: bytes
    mode: int
    since: list[Change] = field(default_factory=list)


@dataclass
class _Folder:
    """Which names of a folder are safe, and which came and went since."""

    safe: dict[str, int]
    since: list[Change] = field(default_factory=list)


class Disk:
    """A disk that lost its power after some changes."""

    def __init__(self, base: Tree) -> None:
        self._files: dict[int, _File] = {}
        self._folders: dict[str, _Folder] = {"": _Folder({})}
        self._made: dict[str, int] = {}  # every name as the program sees it now
        self._modes = {name: node.mode for name, node in base.items() if node.data is None}
        self._real: dict[int, int] = {}  # the inode of the run, and ours
        for number, (name, node) in enumerate(sorted(base.items()), 1):
            self._made[name] = number
            self._folders[_folder(name)].safe[name] = number
            if node.data is None:
                self._folders[name] = _Folder({})
            else:
                self._files[number] = _File(node.data, node.mode)
        self._next = len(base) + 1

    def take(self, change: Change) -> None:
        """Go on by one change."""
        what, path = change.what, change.path
        if what in ("make", "folder"):
            number, self._next = self._next, self._next + 1
            self._made[path] = number
            self._folders.setdefault(_folder(path), _Folder({})).since.append(change)
            if what == "folder":
                self._folders[path] = _Folder({})
                self._modes.setdefault(path, 0o700)
            else:
                self._files[number] = _File(b"", change.mode)
                self._real[change.inode] = number
        elif what in ("rename", "unlink", "link"):
            self._folders[_folder(path)].since.append(change)
            if what == "link":
                self._made[change.to] = self._made[path]
            else:
                number = self._made.pop(path, 0)
                if what == "rename":
                    self._made[change.to] = number
        elif what == "sync folder":
            folder = self._folders[path]
            folder.safe, folder.since = self._names(folder, len(folder.since)), []
        elif what in ("write", "cut", "sync"):
            self._changed(change)

    def _changed(self, change: Change) -> None:
        file = self._files[self._real.get(change.inode) or self._made[change.path]]
        if change.what == "sync":
            file.safe, file.since = _bytes_of(file, len(file.since), "whole"), []
        else:
            file.since.append(change)

    def _names(self, folder: _Folder, many: int) -> dict[str, int]:
        names = dict(folder.safe)
        for change in folder.since[:many]:
            if change.what == "rename":
                names[change.to] = names.pop(change.path, 0)
            elif change.what == "link":
                names[change.to] = names.get(change.path, 0)
            elif change.what == "unlink":
                names.pop(change.path, None)
            else:
                names[change.path] = self._number_of(change)
        return {name: number for name, number in names.items() if number}

    def _number_of(self, change: Change) -> int:
        if change.what == "make":
            return self._real[change.inode]
        return self._made.get(change.path, 0)

    # After the cut

    def states(self, seed: int) -> Iterator[Tree]:
        """A few of the states the disk may be found in: first the least, then the most."""
        files = {number: file for number, file in self._files.items() if file.since}
        folders = {name: folder for name, folder in self._folders.items() if folder.since}
        choices: list[Sequence[tuple[int, str]]] = [
            *(_ways(file.since) for file in files.values()),
            *([(n, "") for n in range(len(one.since) + 1)] for one in folders.values()),
        ]
        for chosen in _some(choices, random.Random(seed)):
            of_files = dict(zip(files, chosen[: len(files)], strict=True))
            of_folders = dict(zip(folders, chosen[len(files) :], strict=True))
            yield self._tree("", of_files, {name: many for name, (many, _) in of_folders.items()})

    def _tree(self, below: str, files: dict[int, tuple[int, str]], folders: dict[str, int]) -> Tree:
        found: Tree = {}
        folder = self._folders[below]
        for name, number in self._names(folder, folders.get(below, 0)).items():
            file = self._files.get(number)
            if file is None:
                found[name] = Node(None, self._modes.get(name, 0o700))
                found |= self._tree(name, files, folders)
            else:
                many, how = files.get(number, (0, "whole"))
                found[name] = Node(_bytes_of(file, many, how), file.mode)
        return found


def _folder(name: str) -> str:
    return name.rpartition("/")[0]


def _ways(since: Sequence[Change]) -> list[tuple[int, str]]:
    """How much of it may be on the disk: some beginning, its last part torn or not filled in."""
    ways = [(many, "whole") for many in range(len(since) + 1)]
    for many, change in enumerate(since, 1):
        if change.what == "write":
            ways += [(many, "torn"), (many, "zeros")]
    return ways


def _bytes_of(file: _File, many: int, how: str) -> bytes:
    data = bytearray(file.safe)
    for number, change in enumerate(file.since[:many], 1):
        if change.what == "cut":
            data = data[: change.start].ljust(change.start, b"\0")
            continue
        part = change.data
        if number == many and how == "torn":
            part = part[: len(part) // 2]
        elif number == many and how == "zeros":
            part = bytes(len(part))
        data[change.start : change.start + len(part)] = part
    return bytes(data)


def _some(
    choices: Sequence[Sequence[tuple[int, str]]], draw: random.Random
) -> Iterator[tuple[tuple[int, str], ...]]:
    """The least, the most, and some drawn; each once."""
    least = tuple(one[0] for one in choices)
    most = tuple(max(one, key=lambda way: (way[0], way[1] == "whole")) for one in choices)
    every = 1
    for one in choices:
        every *= len(one)
    if every <= MOST_STATES:
        yield from product(*choices)
        return
    seen: set[tuple[tuple[int, str], ...]] = set()
    for _ in range(_DRAWN_OF):
        drawn = (least, most)[len(seen)] if len(seen) < 2 else tuple(map(draw.choice, choices))
        if drawn not in seen:
            seen.add(drawn)
            yield drawn
        if len(seen) == MOST_STATES:
            return
