"""Folders and paths that are not what they should be: a clear error, or it goes on without."""

import os
import subprocess
from pathlib import Path

import pytest

from tests.command import STILLROOM

LONG = "x" * 300
LINES = ["shelf", "shake CAOF-25-02", "check", "label CAOF-25-02 --no-record", "enter lines.txt"]


def plainly(answer) -> str:
    """What was said, in words: no traceback, and an exit code of ours."""
    assert "Traceback" not in answer.err
    assert answer.code in (0, 1, 2)
    assert answer.code == 0 or "to do: " in answer.err
    return answer.err


@pytest.fixture
def odd(worked):
    (worked.home / "lines.txt").write_text("shake CAOF-25-02\n")
    (worked.home / "file").write_text("")
    (worked.home / "loop").symlink_to(worked.home / "loop")
    return worked


@pytest.mark.parametrize("line", LINES)
@pytest.mark.parametrize("book", [LONG, "file", "file/deeper", "loop", "\udcff", "a\nb"])
def test_a_book_that_cannot_be_one_is_named(odd, book, line):
    answer = odd.run("--book", book, *line.split())

    assert plainly(answer)
    assert answer.code == 1


@pytest.mark.parametrize("line", LINES)
@pytest.mark.parametrize("name", ["XDG_STATE_HOME", "XDG_CACHE_HOME", "XDG_CONFIG_HOME"])
@pytest.mark.parametrize("place", ["file", "loop", LONG])
def test_a_folder_of_its_own_that_cannot_be_one_is_named_or_done_without(odd, line, name, place):
    before = len(odd.lines())
    odd.env[name] = str(odd.home / place)
    answer = odd.run(line)

    plainly(answer)
    if answer.code:
        assert len(odd.lines()) == before


def test_without_a_home_it_goes_on(odd):
    del odd.env["HOME"]

    assert odd.run("shelf").code == 0


@pytest.mark.parametrize("what", ["/dev/zero", "pipe", "file/deeper", ".", "loop", "a\0b", LONG])
def test_a_page_that_is_no_file_is_not_read(odd, what):
    os.mkfifo(odd.home / "pipe")
    answer = odd.run("enter", what)

    assert "The page cannot be read" in plainly(answer)
    assert answer.code == 2


def test_a_page_names_no_file_that_no_system_has(odd):
    (odd.home / "lines.txt").write_text("label CAOF-25-02 --to 'a\0b.pdf'\n")

    assert "line 1" in odd.refused("enter lines.txt", code=2)


def test_in_a_folder_that_is_gone_nothing_breaks(odd):
    gone = odd.home / "gone"
    for line in ("shelf", "label CAOF-25-02", "page --to page.html", "--book near shelf"):
        script = f'mkdir "{gone}" && cd "{gone}" && rmdir "{gone}" && exec "{STILLROOM}" {line}'
        done = subprocess.run(
            ["/bin/sh", "-c", script], env=odd.env, capture_output=True, text=True, check=False
        )
        assert done.returncode in (0, 1)
        assert "Traceback" not in done.stderr
    assert not Path(gone).exists()


def test_what_a_blend_or_a_split_jar_was_before_is_said_plainly(worked):
    worked.ok("split CAOF-25-02 --into 2")
    for line in ("batches calendula", "batches MEOF", "batches CAOF-25-02", "yields calendula"):
        plainly(worked.run(line))
