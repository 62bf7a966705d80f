"""What is given out: the wheel and the source, built, compared, installed on each Python."""

import os
import shlex
import shutil
import subprocess
import sys
import tarfile
import zipfile
from pathlib import Path

import pytest

from scripts.make_lock import ROOT

pytestmark = pytest.mark.thorough

PYTHONS = ("3.11", "3.12", "3.13")
# Made by tools and never given out, as .gitignore says.
JUNK = (".git", ".venv", "*cache*", "__pycache__", "*.egg-info", "build", "dist", ".coverage*")


def build(kind: str, tree: Path, out: Path, *, made: str = "1767225600") -> Path:
    """Build a tree with the build system that is installed, as of a moment."""
    line = [sys.executable, "-m", "hatchling", "build", "-t", kind, "-d", str(out)]
    env = os.environ | {"SOURCE_DATE_EPOCH": made, "PYTHONDONTWRITEBYTECODE": "1"}
    done = subprocess.run(line, cwd=tree, env=env, capture_output=True, text=True)
    assert done.returncode == 0, done.stdout + done.stderr
    (found,) = out.iterdir()
    return found


@pytest.fixture(scope="module")
def tree(tmp_path_factory) -> Path:
    return copy_of_the_tree(tmp_path_factory.mktemp("tree") / "one")


def copy_of_the_tree(where: Path) -> Path:
    shutil.copytree(ROOT, where, ignore=shutil.ignore_patterns(*JUNK))
    return where


@pytest.fixture(scope="module")
def wheel(tree, tmp_path_factory) -> Path:
    return build("wheel", tree, tmp_path_factory.mktemp("wheel"))


@pytest.fixture(scope="module")
def sdist(tree, tmp_path_factory) -> Path:
    return build("sdist", tree, tmp_path_factory.mktemp("sdist"))


def files_below(folder: Path) -> set[str]:
    return {
        str(path.relative_to(folder))
        for path in folder.rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }


def test_the_wheel_has_the_program_and_nothing_else(wheel):
    names = set(zipfile.ZipFile(wheel).namelist())
    inside = {name for name in names if name.startswith("tracker/")}
    demo = {f"tracker/demo_events/{name}" for name in files_below(ROOT / "demo_events")}

    assert inside == {f"tracker/{name}" for name in files_below(ROOT / "tracker")} | demo
    beside = {name for name in names - inside if ".dist-info/" not in name}
    assert [name.partition(".data/")[2] for name in beside] == ["data/share/man/man1/stillroom.1"]


def test_the_wheel_has_every_licence_of_what_is_in_it(wheel):
    names = {name.rpartition("/")[2] for name in zipfile.ZipFile(wheel).namelist()}
    metadata = zipfile.ZipFile(wheel).read(
        next(one for one in zipfile.ZipFile(wheel).namelist() if one.endswith("METADATA"))
    )

    assert {"LICENSE"} | {path.name for path in (ROOT / "tracker").rglob("LICENSE-*")} <= names
    assert b"License-Expression: MIT AND" in metadata


def test_two_builds_at_two_places_are_the_same_bytes(wheel, tmp_path):
    again = build("wheel", copy_of_the_tree(tmp_path / "a" / "longer" / "place"), tmp_path / "out")

    assert again.read_bytes() == wheel.read_bytes()


def test_another_day_of_the_build_is_another_wheel(wheel, tree, tmp_path):
    """The comparison above can fail."""
    later = build("wheel", tree, tmp_path / "out", made="1777225600")

    assert later.read_bytes() != wheel.read_bytes()


def test_the_source_has_what_its_tests_need_and_makes_the_same_wheel(sdist, wheel, tmp_path):
    with tarfile.open(sdist) as packed:
        packed.extractall(tmp_path / "source", filter="data")
    (source,) = (tmp_path / "source").iterdir()
    names = files_below(source)
    needed = {"README.md", "CHANGELOG.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml"}
    needed |= {"requirements.lock", "requirements-dev.lock"}
    for folder in ("tracker", "tests", "scripts", "docs", "demo_events"):
        needed |= {f"{folder}/{name}" for name in files_below(ROOT / folder)}

    assert needed - names == set()
    assert names - needed <= {"PKG-INFO", ".gitattributes", ".gitignore"}
    assert build("wheel", source, tmp_path / "out").read_bytes() == wheel.read_bytes()


# Installed


def pythons(version: str) -> list[Path]:
    """Where a version of Python may be: on the path, this one, or where pyenv keeps them."""
    found = [Path(one) for one in [shutil.which(f"python{version}")] if one]
    found += sorted(Path("~/.pyenv/versions").expanduser().glob(f"{version}.*/bin/python"))
    if sys.version_info[:2] == tuple(map(int, version.split("."))):
        found.insert(0, Path(sys.base_prefix) / "bin" / f"python{version}")
    return [one for one in found if answers(one, version)]


def answers(python: Path, version: str) -> bool:
    """Whether it is that version: a name on the path may be a stand-in for one not installed."""
    code = "import sys, venv, ensurepip; print('{}.{}'.format(*sys.version_info))"
    try:
        done = subprocess.run([python, "-c", code], capture_output=True, text=True)
    except OSError:
        return False
    return done.returncode == 0 and done.stdout.strip() == version


@pytest.fixture(scope="module", params=PYTHONS)
def installed(request, wheel, tmp_path_factory) -> Path:
    """The folder of programs of an environment with the wheel and the lock, and no extra."""
    found = pythons(request.param)
    if not found:
        pytest.skip(
            f"NOT TESTED on Python {request.param}: it is not on the path and not in "
            "~/.pyenv/versions. Debian 12 has 3.11 alone; pyenv or uv install others."
        )
    home = tmp_path_factory.mktemp(f"python{request.param}")
    subprocess.run([found[0], "-m", "venv", "--without-pip", home / "venv"], check=True)
    programs = home / "venv" / "bin"
    lock = ROOT / "requirements.lock"
    pip = [sys.executable, "-m", "pip", "--python", str(programs / "python"), "install", "-q"]
    pip += ["--no-deps", "--no-compile"]
    for what in (["--require-hashes", "--only-binary=:all:", "-r", lock], [wheel]):
        done = subprocess.run([*pip, *map(str, what)], capture_output=True, text=True)
        if "connection" in done.stderr.lower() and done.returncode and not os.environ.get("CI"):
            pytest.skip("NOT TESTED: no package registry can be reached")
        assert done.returncode == 0, done.stderr[-2000:]
    return programs


def run(programs: Path, line: str, *, code: int = 0) -> str:
    home = programs.parent.parent
    env = {
        **{name: text for name, text in os.environ.items() if not name.startswith("STILLROOM_")},
        "HOME": str(home),
        **{f"XDG_{name}_HOME": str(home / name) for name in ("CACHE", "CONFIG", "DATA", "STATE")},
        "PYTHONDONTWRITEBYTECODE": "1",
        # Python 3.12 before 3.12.4 takes `?1` for a name (its issue 117995, from memory).
        "PYTHONWARNINGS": "error,ignore:Binding:DeprecationWarning",
    }
    done = subprocess.run(
        [programs / "stillroom", *shlex.split(line)],
        cwd=home,
        env=env,
        capture_output=True,
        text=True,
    )
    assert done.returncode == code, done.stdout + done.stderr
    return done.stdout + done.stderr


def test_the_program_does_the_main_job_from_its_wheel(installed):
    home = installed.parent.parent
    assert run(installed, "--version").startswith("stillroom ")
    assert "CAOF-26" in run(
        installed,
        'charge "Calendula officinalis" --dried 100g --pour "500 ml 45%" --least 28d '
        "--when 2026-03-03",
    )
    run(installed, "press CAOF-26-01 370ml --when 2026-04-05")
    assert "370" in run(installed, "stock --on 2026-04-06")
    run(installed, "label CAOF-26-01A --to label.pdf --when 2026-04-06")
    run(installed, "page --to shelf.html")
    run(installed, "calendar --to days.ics")
    run(installed, "remind --printed")
    assert "The book is whole" in run(installed, "check")
    run(installed, "demo demo-book")
    assert len(run(installed, "--book demo-book shelf").splitlines()) > 5
    assert (home / "label.pdf").read_bytes().startswith(b"%PDF")
    assert (home / "shelf.html").read_text().startswith("<!DOCTYPE html>")


def test_a_picture_needs_nothing_but_what_the_wheel_brings(installed):
    run(installed, "demo drawn-book")
    run(installed, "--book drawn-book season --to season.svg")

    assert "</svg>" in (installed.parent.parent / "season.svg").read_text()


def test_every_module_loads_with_nothing_but_what_the_wheel_asks_for(installed):
    """A module that needs an extra, or a package for development, loads it when it is used."""
    code = (
        "import importlib, pkgutil, tracker\n"
        "for one in pkgutil.walk_packages(tracker.__path__, 'tracker.'):\n"
        "    importlib.import_module(one.name)\n"
    )
    done = subprocess.run([installed / "python", "-c", code], capture_output=True, text=True)

    assert done.returncode == 0, done.stderr


def test_the_ranges_of_the_wheel_are_met_by_the_lock(installed):
    done = subprocess.run(
        [installed / "python", "-m", "pip", "check"], capture_output=True, text=True
    )

    assert done.returncode == 0, done.stdout
