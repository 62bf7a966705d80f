"""The power goes: an ext4 disk in a file, copied as it stands without a sync, and mounted."""

import os
import shutil
import subprocess
from contextlib import contextmanager

import pytest

from tests.command import Command
from tests.faults.injecting import CHARGE, Log, missing

pytestmark = pytest.mark.thorough

CUTS = 3


@contextmanager
def mounted(image, place):
    """The disk in that file, at a folder."""
    place.mkdir(exist_ok=True)
    mount = ["mount", "-o", "loop", str(image), str(place)]
    if os.geteuid() != 0 or subprocess.run(mount, capture_output=True, check=False).returncode:
        missing("a power cut needs root and a loop device")
    try:
        yield place
    finally:
        subprocess.run(["umount", place], check=False)


def new_disk(image):
    """An empty ext4 disk that writes back only when it is told to, for ten minutes."""
    if shutil.which("mkfs.ext4") is None:
        missing("mkfs.ext4 is not installed (Debian: e2fsprogs)")
    with image.open("wb") as file:
        file.truncate(8 << 20)
    subprocess.run(["mkfs.ext4", "-q", image], check=True)


def after_a_cut(image, copy, place, command):
    """What a machine finds that is switched on after the power went this instant."""
    shutil.copyfile(image, copy)
    with mounted(copy, place):
        later = Command(command.home / "later")
        shutil.copytree(place / "book", later.book)
        return later


def test_no_acknowledged_event_is_lost_in_a_power_cut_at_any_moment(tmp_path):
    """The first cut falls right after the book was begun: its folders must be there too."""
    image = tmp_path / "disk"
    new_disk(image)
    command = Command(tmp_path / "home")
    command.home.mkdir()
    with mounted(image, tmp_path / "disk-place") as disk:
        command.book = disk / "book"
        command.env["STILLROOM_BOOK"] = str(command.book)
        log = Log(command)
        command.ok(CHARGE)
        for cut in range(CUTS):
            later = after_a_cut(image, tmp_path / "copy", tmp_path / "copy-place", command)
            found = Log(later)
            found.acknowledged, found.tried = log.acknowledged, log.tried
            found.check()
            assert later.run("show CAOF-25-01").code == 0
            shutil.rmtree(later.home)
            assert log.note(f"before cut {cut + 2}") == 0


def test_the_cut_does_lose_what_was_not_synced(tmp_path):
    """Else the test above proves nothing about the sync."""
    image = tmp_path / "disk"
    new_disk(image)
    with mounted(image, tmp_path / "disk-place") as disk:
        (disk / "not-synced").write_text("gone")
        shutil.copyfile(image, tmp_path / "copy")
    with mounted(tmp_path / "copy", tmp_path / "copy-place") as copy:
        assert not (copy / "not-synced").exists()
