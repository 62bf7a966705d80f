"""Homes for the runs: a folder with book, cache and state, put back as it was for each case."""

import os
import shutil
from dataclasses import dataclass
from pathlib import Path

FOLDER = b"/"


@dataclass(frozen=True)
class Node:
    """A file with its bytes, or a folder; how it was seen."""

    data: bytes | None  # None is a folder
    mode: int
    mtime_ns: int = 0


Tree = dict[str, Node]


def tree_of(root: Path) -> Tree:
    """Everything below a folder."""
    found: Tree = {}
    for folder, folders, files in os.walk(root):
        for name in folders:
            path = Path(folder, name)
            seen = path.lstat()
            found[str(path.relative_to(root))] = Node(None, seen.st_mode & 0o7777)
        for name in files:
            path = Path(folder, name)
            seen = path.lstat()
            found[str(path.relative_to(root))] = Node(
                path.read_bytes(), seen.st_mode & 0o7777, seen.st_mtime_ns
            )
    return found


def put_back(root: Path, wanted: Tree) -> None:
    """Make a folder what it was: files that still stand keep their inode and get their time."""
    root.mkdir(parents=True, exist_ok=True)
    standing = tree_of(root)
    for name in sorted(standing.keys() - wanted.keys(), reverse=True):
        path = root / name
        if standing[name].data is None:
            shutil.rmtree(path, ignore_errors=True)
        else:
            path.unlink(missing_ok=True)
    for name in standing.keys() & wanted.keys():
        if standing[name].data is not None and (root / name).lstat().st_nlink > 1:
            (root / name).unlink()  # two names of one file, which are to be two
            del standing[name]
    for name, node in sorted(wanted.items()):
        path = root / name
        if node.data is None:
            path.mkdir(exist_ok=True)
        elif standing.get(name) != node:
            with path.open("r+b" if name in standing else "wb") as file:
                file.write(node.data)
                file.truncate()
        path.chmod(node.mode)
        if node.data is not None and node.mtime_ns:
            os.utime(path, ns=(node.mtime_ns, node.mtime_ns))


def environment(home: Path, *, writer: str | None = "bench") -> dict[str, str]:
    """The environment of a run whose home that is."""
    kept = {name: text for name, text in os.environ.items() if not name.startswith("STILLROOM_")}
    own = {
        "HOME": str(home),
        "XDG_CACHE_HOME": str(home / "cache"),
        "XDG_STATE_HOME": str(home / "state"),
        "XDG_DATA_HOME": str(home / "data"),
        "STILLROOM_BOOK": str(home / "book"),
        "TZ": "Europe/Berlin",
        "COLUMNS": "80",
        "PYTHONIOENCODING": "utf-8",
        "NO_COLOR": "1",
    }
    return kept | own | ({"STILLROOM_WRITER": writer} if writer else {})
