"""Power cuts on a real disk: ext4 in a file, copied as it stands without a sync, and mounted.

The simulated disk is worse than any real one; this is a sample of what one file system does.
Needs root, a loop device and mkfs.ext4.
"""

import os
import random
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from faults.cases import CHANGES, KILLS, Case, faults_of
from faults.homes import Tree, tree_of
from faults.machine import Judged, Way
from faults.scenarios import SCENARIOS

_SIZE = 24 << 20


def can_cut() -> bool:
    """Whether this machine lets us make and mount a disk."""
    tools = shutil.which("mkfs.ext4") is not None and Path("/dev/loop-control").exists()
    return tools and os.geteuid() == 0


@contextmanager
def _mounted(image: Path, place: Path) -> Iterator[Path]:
    place.mkdir(exist_ok=True)
    subprocess.run(["mount", "-o", "loop", image, place], check=True, capture_output=True)
    try:
        yield place
    finally:
        subprocess.run(["umount", "-l", place], check=False)


def cuts(
    name: str, place: Path, many: int, seed: int, *, only: Case | None = None
) -> Iterator[Judged]:
    """The power goes at so many calls of one path, and once after its answer.

    Args:
        name: of the path.
        place: a folder with room for two disks of 24 MB.
        many: how many calls, drawn by the seed.
        seed: of the draw.
        only: this case alone.
    """
    image = place / "disk"
    with image.open("wb") as file:
        file.truncate(_SIZE)
    subprocess.run(["mkfs.ext4", "-q", image], check=True)
    with _mounted(image, place / "mounted") as disk:
        way = Way(SCENARIOS[name], disk)
        kills = [
            Case(name, (fault,), on=call.on, is_real=True)
            for call in way.undisturbed.calls
            for fault in faults_of(call)
            if fault.kind in KILLS and call.changes and call.name in CHANGES
        ]
        draw = random.Random(seed)
        drawn = [*draw.sample(kills, min(many, len(kills))), Case(name, is_real=True)]
        for case in [only] if only else drawn:
            yield way.judge(case, lambda home: _after_the_cut(image, place, home))


def _after_the_cut(image: Path, place: Path, home: Path) -> Tree:
    """What a machine finds that is switched on after the power went this instant."""
    shutil.copyfile(image, place / "copied")
    with _mounted(place / "copied", place / "again") as disk:
        return tree_of(disk / home.name)
