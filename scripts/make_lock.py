#!/usr/bin/env python3
"""Write the two locks: every package with its hashes, for every system and Python the tree runs on.

    python scripts/make_lock.py            both anew, with the newest of everything (needs uv)
    python scripts/make_lock.py --check    where they no longer fit pyproject.toml (needs nothing)

`requirements.lock` is what the tree itself needs, `requirements-dev.lock` what its tests need too.
They name no place to get a package from; pip asks whichever it is set up for.
"""

import re
import shutil
import subprocess
import sys
import tomllib
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import NamedTuple, TypedDict

from packaging.markers import Marker
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from packaging.version import Version

ROOT = Path(__file__).resolve().parent.parent
# Each lock, and the extras it is made for.
LOCKS: Mapping[str, tuple[str, ...]] = {
    "requirements-dev.lock": ("dev",),
    "requirements.lock": ("build",),
}
_OLDEST_PYTHON = "3.11"


class Project(TypedDict):
    """What of pyproject.toml says what is wanted."""

    name: str
    dependencies: list[str]
    optional: dict[str, list[str]]
    build: list[str]
    floors: list[str]


class Pin(NamedTuple):
    """One version of a package in a lock, and where it holds."""

    name: str
    version: Version
    marker: Marker | None
    hashes: tuple[str, ...]


def read_project(text: str) -> Project:
    """What pyproject.toml asks for."""
    found = tomllib.loads(text)
    project = found["project"]
    return {
        "name": project["name"],
        "dependencies": project["dependencies"],
        "optional": project.get("optional-dependencies", {}),
        "build": found["build-system"]["requires"],
        "floors": found.get("tool", {}).get("uv", {}).get("constraint-dependencies", []),
    }


def pins(text: str) -> list[Pin]:
    """Every pin of a lock.

    Raises:
        ValueError: a line is no pin: an address, a path, an option, a version that is open.
    """
    joined = re.sub(r"\s*\\\n\s*", " ", text)
    lines = (line for line in joined.split("\n") if line.strip() and line.lstrip()[0] != "#")
    return [_pin(line) for line in lines]


def _pin(line: str) -> Pin:
    wanted, *hashes = re.split(r"\s+--hash=", line.strip())
    found = re.fullmatch(r"([A-Za-z0-9._-]+)==([^\s;]+)(?:\s*;\s*(.+))?", wanted)
    if not found or not all(re.fullmatch(r"sha256:[0-9a-f]{64}", one) for one in hashes):
        raise ValueError(f"no pin with its hashes: {line[:80]}")
    marker = Marker(found[3]) if found[3] else None
    return Pin(canonicalize_name(found[1]), Version(found[2]), marker, tuple(hashes))


def wanted(project: Project, extras: Iterable[str]) -> list[Requirement]:
    """Every requirement of the project with these extras, those they name in turn included."""
    own = canonicalize_name(project["name"])
    found = [Requirement(text) for text in project["dependencies"]]
    left, seen = list(extras), set[str]()
    while left:
        extra = left.pop()
        if extra in seen:
            continue
        seen.add(extra)
        for one in map(Requirement, project["optional"][extra]):
            if canonicalize_name(one.name) == own:
                left += one.extras
            else:
                found.append(one)
    return found


def misfits(project: Project, extras: Iterable[str], lock: str) -> list[str]:
    """Where a lock does not hold what the project asks for, in words; empty where it fits."""
    try:
        found = pins(lock)
    except ValueError as reason:
        return [str(reason)]
    said = [f"{one.name} {one.version}: without a hash" for one in found if not one.hashes]
    for one in [*wanted(project, extras), *map(Requirement, project["build"])]:
        held = [pin for pin in found if pin.name == canonicalize_name(one.name)]
        if not held:
            said.append(f"{one}: is not in the lock")
        said += _outside(one, held)
    for one in map(Requirement, project["floors"]):
        said += _outside(one, [pin for pin in found if pin.name == canonicalize_name(one.name)])
    return said


def _outside(one: Requirement, held: list[Pin]) -> list[str]:
    return [
        f"{one}: the lock has {pin.version}"
        for pin in held
        if not one.specifier.contains(pin.version, prereleases=True)
    ]


def check() -> list[str]:
    """Where the locks of the tree do not fit its pyproject.toml."""
    project = read_project((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    return [
        f"{name}: {why}"
        for name, extras in LOCKS.items()
        for why in misfits(project, extras, (ROOT / name).read_text(encoding="utf-8"))
    ]


def make() -> int:
    """Write the locks; the second holds the versions of the first."""
    uv = shutil.which("uv")
    if uv is None:
        print("uv is needed to write a lock: `python3 -m pip install uv`.", file=sys.stderr)
        return 1
    held: list[str] = []
    for name, extras in LOCKS.items():
        line = [uv, "pip", "compile", "--quiet", "--universal", "--generate-hashes", "--no-header"]
        line += ["--python-version", _OLDEST_PYTHON, "--upgrade", *held]
        line += [part for extra in extras for part in ("--extra", extra)]
        done = subprocess.run([*line, "pyproject.toml", "-o", name], cwd=ROOT, check=False)
        if done.returncode:
            return done.returncode
        held = ["--constraint", name]
    return 0


def main() -> int:
    """Check the locks, or write them and check them."""
    if "--check" not in sys.argv[1:] and (code := make()):
        return code
    for why in (said := check()):
        print(why, file=sys.stderr)
    if said:
        print("  to do: python scripts/make_lock.py, and commit what it wrote.", file=sys.stderr)
    return 1 if said else 0


if __name__ == "__main__":
    sys.exit(main())
