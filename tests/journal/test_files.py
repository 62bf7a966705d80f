"""Reading the book: around damage, between the files, and past what is not a writer's."""

from pathlib import Path

import pytest

from tests.journal.on_disk import file_of, read, some, write
from tests.lives import KITCHEN, OneJar
from tracker.bench.bench import Bench
from tracker.core.facts.amendments import Noted
from tracker.journal.read import read_book


@pytest.fixture
def five(tmp_path: Path) -> Path:
    """A book of five lines."""
    write(tmp_path, some(5))
    return tmp_path


def test_one_changed_line_costs_one_line(five):
    """FORMAT.md: the reader goes on with the digest the line states."""
    lines = file_of(five).read_bytes().split(b"\n")
    lines[2] = lines[2].replace(b"2025-03-04", b"2025-03-05")
    file_of(five).write_bytes(b"\n".join(lines))
    placed, damages = read_book(five)

    assert [one.entry for one in placed] == [*some(5)[:2], *some(5)[3:]]
    assert [(one.file, one.line) for one in damages] == [(f"{KITCHEN}.jsonl", 3)]
    assert damages[0].byte == len(lines[0]) + len(lines[1]) + 2
    assert "digest" in damages[0].why


def test_a_line_taken_out_is_told_by_the_next_one(five):
    lines = file_of(five).read_bytes().split(b"\n")
    file_of(five).write_bytes(b"\n".join([*lines[:2], *lines[3:]]))
    _, damages = read_book(five)

    assert [one.line for one in damages] == [3]


def test_lines_that_changed_places_are_told(five):
    lines = file_of(five).read_bytes().split(b"\n")
    lines[1], lines[2] = lines[2], lines[1]
    file_of(five).write_bytes(b"\n".join(lines))

    assert read_book(five)[1]


def test_a_line_feed_alone_ends_a_line_and_nothing_else_does(tmp_path):
    r"""A text may hold U+2028 only escaped, but \x0b or \x85 in a file must not cut a line."""
    one = OneJar.charged()
    one.then(Noted(about=one.jar, note="a\u00a0b\u3000c \U0001f33f"), "2025-03-04")
    write(tmp_path, one.entries)
    with file_of(tmp_path).open("ab") as file:
        file.write(b"\x0b\x0c\r\xc2\x85\xe2\x80\xa8\n")
    placed, damages = read_book(tmp_path)

    assert [place.entry for place in placed] == one.entries
    assert [damage.line for damage in damages] == [3]


@pytest.mark.parametrize(
    "name", [".kitchen.jsonl.tmp", ".kitchen.jsonl", "~kitchen.jsonl", "a.txt"]
)
def test_a_temporary_of_a_synchronising_tool_is_not_read(five, name):
    (five / "events" / name).write_bytes(b"half a li")

    assert read(five) == some(5)


def test_a_conflict_copy_is_read_and_its_repeated_lines_count_once(five):
    """The tool kept both versions: the copy holds one line the file has not."""
    copy = five / "events" / f"{KITCHEN}.sync-conflict-20250401-120000.jsonl"
    copy.write_bytes(file_of(five).read_bytes())
    lines = file_of(five).read_bytes().split(b"\n")
    file_of(five).write_bytes(b"\n".join(lines[:4]) + b"\n")
    bench = Bench(five, cache=five / "cache", state=five / "state")

    assert [jar.shakes for jar in bench.jars()] == [4]
    assert [one.fact for one in bench.entries_of(some(1)[0].id)] == [one.fact for one in some(5)]


def test_an_empty_file_and_an_empty_folder_are_an_empty_book(tmp_path):
    assert read_book(tmp_path) == ([], [])
    (tmp_path / "events").mkdir()
    file_of(tmp_path).write_bytes(b"")

    assert read_book(tmp_path) == ([], [])
    write(tmp_path, some(1))
    assert read(tmp_path) == some(1)
