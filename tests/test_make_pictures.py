"""docs/pictures/: each is shown, none is heavy, and the script makes them, the same each time."""

import subprocess
import sys
from pathlib import Path

import pytest
from PIL import Image

ROOT = Path(__file__).parents[1]
SCRIPT = ROOT / "scripts" / "make_pictures.py"


def run(*words):
    return subprocess.run([sys.executable, SCRIPT, *words], capture_output=True, text=True)


def test_docs_show_just_the_pictures_that_are_made():
    """If this fails: python scripts/make_pictures.py NAME, or show it in a page."""
    checked = run("--check")

    assert (checked.returncode, checked.stdout.strip()) == (0, ""), checked.stderr


def test_no_picture_is_heavy():
    sizes = {file.name: file.stat().st_size for file in (ROOT / "docs" / "pictures").iterdir()}

    assert {name: size for name, size in sizes.items() if size > 60_000} == {}
    assert sum(sizes.values()) <= 700_000


@pytest.mark.thorough
def test_the_script_makes_the_same_picture_each_time(tmp_path):
    made = [tmp_path / "once", tmp_path / "again"]
    for folder in made:
        done = run("due", "--folder", str(folder))
        assert done.returncode == 0, done.stderr

    first, second = (folder / "due.png" for folder in made)
    assert first.read_bytes() == second.read_bytes()
    with Image.open(first) as image:
        assert image.width > 1000
        assert len(image.getcolors()) > 4  # paper, ink, faint, and white on red
