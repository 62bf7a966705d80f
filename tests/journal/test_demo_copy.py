"""The demo book copied to a folder, and the verb that does it, as a process."""

import os
import shutil
import subprocess
import sys
import tomllib
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from tracker.config.practice_file import read_practice
from tracker.core.replay.replay import replay
from tracker.journal.demo_copy import copy_demo, moved
from tracker.journal.read import read_book

pytestmark = pytest.mark.thorough

ROOT = Path(__file__).parents[2]
HOME = ROOT / "demo_events"
LEAP_DAY = datetime(2028, 2, 29, 9, tzinfo=ZoneInfo("Europe/Berlin"))


def test_the_copy_is_a_whole_book_with_every_digest_new(tmp_path):
    files = sorted((HOME / "events").glob("*.jsonl"))
    lines = [line for file in files for line in file.read_bytes().splitlines()]
    copied = copy_demo(tmp_path / "book", LEAP_DAY)
    placed, damages = read_book(tmp_path / "book")

    assert damages == []
    assert len(placed) == copied.events == len(lines)
    jars = replay(one.entry for one in placed).jars.values()
    assert copied.jars == len(jars)
    assert replay(one.entry for one in placed) == replay(moved(lines, LEAP_DAY))
    assert read_practice(tmp_path / "book") == read_practice(HOME)


def test_the_verb_makes_a_book_and_says_what_to_try(command):
    before = _today(command)
    said = command.ok("demo")
    after = _today(command)
    tries = [line.strip() for line in said.splitlines() if line.startswith("  ")]

    assert [words.split()[3] for words in tries] == ["due", "shelf", "stock", "show", "history"]
    for words in tries:
        assert command.ok(words.removeprefix("stillroom "))
    assert command.json("--book demo-book check")["whole"]
    placed, _ = read_book(command.home / "demo-book")
    assert before <= max(one.entry.when.start for one in placed).date() <= after


def _today(command):
    return datetime.now(ZoneInfo(command.zone)).date()  # noqa: TID251 - as the verb reads it


def test_a_copy_where_an_earlier_one_stood_is_not_taken_for_its_remains(command):
    """What was seen of the one that is gone is remembered outside the folder."""
    command.ok("demo")
    ready = next(
        one["code"] for one in command.json("--book demo-book due") if one["what"] == "ready"
    )
    command.ok(f"--book demo-book shake {ready}")
    command.ok("--book demo-book due")
    shutil.rmtree(command.home / "demo-book")
    command.ok("demo")

    assert command.json("--book demo-book check")["whole"]
    assert command.run("--book demo-book due").err == ""


@pytest.mark.parametrize("there", ["a file in the folder", "a file of that name"])
def test_the_verb_writes_over_nothing(command, there):
    place = command.home / "mine"
    if there == "a file of that name":
        place.write_text("mine")
    else:
        place.mkdir()
        (place / "notes.txt").write_text("mine")

    answer = command.run("demo mine")

    assert answer.code == 1
    assert "to do: name a new folder" in answer.err
    assert [path.name for path in command.home.rglob("*") if path.suffix == ".jsonl"] == []


def test_an_empty_folder_will_do(command):
    (command.home / "mine").mkdir()
    command.ok("demo mine")

    assert len(command.json("--book mine shelf")) > 10


def test_the_book_is_found_where_a_wheel_puts_it(tmp_path):
    """Laid out as pyproject.toml tells the wheel to be, with no project beside it."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())
    places = project["tool"]["hatch"]["build"]["targets"]["wheel"]["force-include"]
    site = tmp_path / "site"
    shutil.copytree(
        ROOT / "tracker", site / "tracker", ignore=shutil.ignore_patterns("__pycache__")
    )
    for source, place in places.items():
        shutil.copytree(ROOT / source, site / place)

    script = "import tracker.cli.main as m; print(m.__file__); m.main()"
    answer = subprocess.run(
        [sys.executable, "-c", script, "demo", "played"],
        cwd=tmp_path,
        env=os.environ | {"PYTHONPATH": str(site)},
        check=True,
        capture_output=True,
        text=True,
    )

    assert answer.stdout.startswith(str(site))
    assert len(list((tmp_path / "played" / "events").iterdir())) == 3
