"""The locks hold what pyproject.toml asks for, say where nothing comes from, and are installed."""

import re
import sys
from pathlib import Path

import pytest

from scripts import venv_setup
from scripts.make_licences import ELSEWHERE, needed
from scripts.make_lock import LOCKS, check, misfits, pins, read_project, wanted

ROOT = Path(__file__).parents[1]
HASH = "sha256:" + "0" * 64
PROJECT = """
[build-system]
requires = ["hatchling>=1.27,<2"]
[project]
name = "shelf-book"
dependencies = ["filelock>=3,<5", "jeepney>=0.9; sys_platform == 'linux'"]
[project.optional-dependencies]
more = ["Some_Thing>=2"]
dev = ["shelf-book[more]", "pytest>=8"]
[tool.uv]
constraint-dependencies = ["idna>=3.7"]
"""
FITS = f"""filelock==4.1 \\
    --hash={HASH} \\
    --hash={HASH}
    # via shelf-book
jeepney==0.9.0 ; sys_platform == 'linux' --hash={HASH}
some-thing==2.0 ; python_full_version < '3.12' --hash={HASH}
some-thing==2.1 ; python_full_version >= '3.12' --hash={HASH}
pytest==9.0 --hash={HASH}
hatchling==1.30 --hash={HASH}
idna==3.20 --hash={HASH}
"""


def test_the_locks_fit_what_the_project_asks_for():
    """If this fails a range has changed: run scripts/make_lock.py, and commit what it wrote."""
    assert check() == []


@pytest.mark.parametrize(
    ("before", "after", "says"),
    [
        ("filelock==4.1", "filelock==5.0", "filelock<5,>=3: the lock has 5.0"),
        ("filelock==4.1", "other==4.1", "filelock<5,>=3: is not in the lock"),
        ("some-thing==2.0", "some-thing==1.9", "Some_Thing>=2: the lock has 1.9"),
        ("hatchling==1.30", "hatchling==2.0", "hatchling<2,>=1.27: the lock has 2.0"),
        ("idna==3.20", "idna==3.6", "idna>=3.7: the lock has 3.6"),
        (f"pytest==9.0 --hash={HASH}", "pytest==9.0", "pytest 9.0: without a hash"),
        ("pytest==9.0", "pytest>=9.0", "no pin with its hashes: pytest>=9.0"),
        ("pytest==9.0", "pytest @ file:///somewhere", "no pin with its hashes"),
        ("pytest==9.0", "-e .", "no pin with its hashes"),
        ("filelock==4.1", "--index-url https://x\nfilelock==4.1", "no pin with its hashes"),
        (f"--hash={HASH}\n    #", "--hash=md5:00\n    #", "no pin with its hashes"),
    ],
)
def test_a_lock_that_no_longer_fits_says_where(before, after, says):
    project = read_project(PROJECT)
    assert misfits(project, ("dev",), FITS) == []
    assert before in FITS

    assert says in " ".join(misfits(project, ("dev",), FITS.replace(before, after, 1)))


@pytest.mark.parametrize("name", LOCKS)
def test_a_lock_names_no_place_to_get_a_package_from(name):
    text = (ROOT / name).read_text()

    assert not re.search(r"://|^-|^\s*--(?!hash=)|[@~]|/(?!=)", text, re.MULTILINE)
    assert all(pin.hashes for pin in pins(text))


@pytest.mark.parametrize("name", LOCKS)
def test_a_lock_holds_whatever_its_packages_bring_along(name):
    """By what is installed here: a package that began to need another stands in no range."""
    held = {pin.name for pin in pins((ROOT / name).read_text())}

    assert needed("stillroom", LOCKS[name]) - held == set()


def test_the_small_lock_has_the_versions_of_the_large_one():
    large, small = (
        {(pin.name, str(pin.version)) for pin in pins((ROOT / name).read_text())} for name in LOCKS
    )

    assert small <= large


def test_every_range_has_a_floor_and_every_one_of_the_program_an_end():
    """`tzdata` is named after the year and has no end: DEVELOPERS.md says so."""
    project = read_project((ROOT / "pyproject.toml").read_text())
    shipped = wanted(project, ("build", "more-channels"))
    ends = {
        one.name: sorted(part.operator for part in one.specifier)
        for one in shipped
        if one.name != "tzdata"
    }

    assert {name for name, found in ends.items() if found != ["<", ">="]} == set()


@pytest.mark.parametrize(
    ("system", "python", "machine", "locked"),
    [
        ("linux", (3, 11), "x86_64", True),
        ("linux", (3, 13), "aarch64", True),
        ("linux", (3, 15), "x86_64", False),
        ("linux", (3, 12), "riscv64", False),
        ("darwin", (3, 11), "arm64", False),
        ("win32", (3, 11), "AMD64", False),
    ],
)
@pytest.mark.parametrize(
    ("extra", "name"), [("", "requirements.lock"), ("dev", "requirements-dev.lock")]
)
def test_a_lock_is_installed_from_where_it_was_tried_and_ranges_elsewhere(
    monkeypatch, system, python, machine, locked, extra, name
):
    monkeypatch.setattr(sys, "platform", system)
    monkeypatch.setattr(sys, "version_info", (*python, 0, "final", 0))
    monkeypatch.setattr("platform.machine", lambda: machine)
    found = venv_setup.lock_for(extra)

    assert found == (ROOT / name if locked else None)
    assert found is None or found.exists()


def test_what_comes_along_elsewhere_is_in_the_lock_for_there():
    held = {pin.name: pin for pin in pins((ROOT / "requirements-dev.lock").read_text())}

    assert all("win32" in str(held[name].marker) for name in ELSEWHERE)
