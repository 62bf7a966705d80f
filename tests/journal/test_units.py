"""The lines of one command: all of them are read, or none, wherever the file was cut."""

import os
import shutil

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.hypothesis_profile import SHORT
from tests.journal.on_disk import a_bench, check_chain, file_of, read, some, write, write_together
from tests.lives import KITCHEN
from tracker.journal.append import append
from tracker.journal.backup import back_up, compare
from tracker.journal.check import check
from tracker.journal.read import read_book


def a_book(home, units):
    """A book in which each unit is so many lines; its entries."""
    entries, start = some(sum(units)), 0
    for size in units:
        write_together(home, entries[start : start + size])
        start += size
    return entries


def ends_of(text):
    """Where each line ends."""
    return [at + 1 for at, byte in enumerate(text) if byte == ord("\n")]


def cut(home, length):
    file_of(home).write_bytes(file_of(home).read_bytes()[:length])


def test_a_unit_is_named_on_each_of_its_lines_and_a_single_line_names_none(tmp_path):
    """FORMAT.md: the id of its first line, and the place of each among how many."""
    first, *rest = a_book(tmp_path, [1, 3])
    lines = check_chain(file_of(tmp_path))

    assert [line.get("unitplace") for line in lines] == [None, "1/3", "2/3", "3/3"]
    assert [line.get("unit") for line in lines] == [None, *[rest[0].id] * 3]
    assert read(tmp_path) == [first, *rest]


@SHORT
@given(st.lists(st.integers(1, 4), min_size=1, max_size=5), st.data())
def test_wherever_a_file_ends_every_unit_is_whole_or_not_there(tmp_path_factory, units, data):
    """And what is recorded next stands behind the last whole one."""
    book = tmp_path_factory.mktemp("book")
    entries = a_book(book, units)
    whole = file_of(book).read_bytes()
    at = data.draw(st.integers(0, len(whole)) | st.sampled_from([0, *ends_of(whole)]))
    cut(book, at)
    ends = [ends_of(whole)[sum(units[: number + 1]) - 1] for number in range(len(units))]
    kept = sum(units[: sum(end <= at for end in ends)])
    placed, damages = read_book(book)

    assert [one.entry for one in placed] == entries[:kept]
    unfinished = at not in (0, *ends)
    assert [one.pending for one in damages] == [True] * unfinished
    assert [one.line for one in damages] == [kept + 1] * unfinished

    append(book, KITCHEN, entries[kept:], book / "spare")
    assert read(book) == entries
    assert len(check_chain(file_of(book))) == len(entries)
    spared = b"".join(one.read_bytes() for one in book.glob("spare/*"))
    assert spared == whole[([0, *ends])[sum(end <= at for end in ends)] : at]


@SHORT
@given(st.lists(st.integers(1, 4), min_size=2, max_size=5), st.data())
def test_a_file_that_arrives_piece_by_piece_is_read_as_one_that_is_whole(
    tmp_path_factory, units, data
):
    """The model's mark never stands inside a unit, so nothing is lost or taken twice."""
    home = tmp_path_factory.mktemp("home")
    entries = a_book(home / "book", units)
    whole = file_of(home / "book").read_bytes()
    steps = data.draw(st.lists(st.sampled_from(ends_of(whole)), min_size=1, max_size=6))
    for at in [*sorted(steps), len(whole)]:
        file_of(home / "book").write_bytes(whole[:at])
        a_bench(home).jars()

    (jar,) = a_bench(home).jars()
    assert jar.shakes == len(entries) - 1
    assert a_bench(home).damages() == []
    assert a_bench(home).entries_of(entries[0].id) == entries


def test_a_unit_that_is_arriving_is_pending_and_no_part_of_it_counts(tmp_path):
    entries = a_book(tmp_path / "book", [2, 3])
    whole = file_of(tmp_path / "book").read_bytes()
    cut(tmp_path / "book", ends_of(whole)[3])
    bench = a_bench(tmp_path)

    assert [jar.shakes for jar in bench.jars()] == [1]
    assert [(one.line, one.pending) for one in bench.damages()] == [(3, True)]
    report = check(bench.book, bench.damages(), entries[0].recorded)
    assert report.is_whole
    assert report.lines == 2


def test_a_unit_cut_by_damage_in_the_middle_is_named_line_by_line(tmp_path):
    entries = a_book(tmp_path, [1, 4, 1])
    lines = file_of(tmp_path).read_bytes().splitlines(keepends=True)
    lines[3] = lines[3].replace(b"2025-03-04", b"2025-03-05")
    file_of(tmp_path).write_bytes(b"".join(lines))
    placed, damages = read_book(tmp_path)

    assert [one.entry for one in placed] == [entries[0], entries[5]]
    assert [(one.line, one.counts) for one in damages] == [(line, True) for line in (2, 3, 4, 5)]
    assert "digest" in damages[2].why
    assert "2 of 4 lines of one command" in damages[1].why


def test_a_damaged_last_unit_is_not_set_aside_with_what_comes_next(tmp_path):
    """It was acknowledged once: only a unit whose every line so far is sound is unfinished."""
    a_book(tmp_path, [1, 3])
    lines = file_of(tmp_path).read_bytes().splitlines(keepends=True)
    damaged = b"".join([*lines[:2], lines[2].replace(b"03-04", b"03-05")])
    file_of(tmp_path).write_bytes(damaged)
    write(tmp_path, some(5)[4:])

    assert file_of(tmp_path).read_bytes().startswith(damaged)
    assert not (tmp_path / "spare").exists()
    assert [one.line for one in read_book(tmp_path)[1]] == [2, 3]


def test_a_unit_only_ever_grows_its_file(tmp_path):
    """A synchronising tool never meets a file that was replaced."""
    a_book(tmp_path, [2])
    before, seen = file_of(tmp_path).read_bytes(), file_of(tmp_path).stat().st_ino
    write_together(tmp_path, some(8)[2:])

    assert file_of(tmp_path).read_bytes().startswith(before)
    assert file_of(tmp_path).stat().st_ino == seen
    assert [path.name for path in file_of(tmp_path).parent.iterdir()] == [f"{KITCHEN}.jsonl"]


def test_the_cost_of_a_unit_does_not_grow_with_its_file(tmp_path, monkeypatch):
    def bytes_moved(length):
        book, moved = tmp_path / str(length), 0
        a_book(book, [length])
        real_read, real_write = os.read, os.write

        def reads(descriptor, size):
            nonlocal moved
            found = real_read(descriptor, size)
            moved += len(found)
            return found

        def writes(descriptor, blob):
            nonlocal moved
            moved += len(blob)
            return real_write(descriptor, blob)

        with monkeypatch.context() as patched:
            patched.setattr(os, "read", reads)
            patched.setattr(os, "write", writes)
            write_together(book, some(length + 12)[length:])
        return moved

    assert bytes_moved(2000) == pytest.approx(bytes_moved(1000), rel=0.01)


class _Died(BaseException):
    """What no `except` of the program sees, as it sees no kill."""


@pytest.mark.parametrize("kept", [700, 1500, 2500])
def test_a_death_in_the_middle_of_many_lines_leaves_none_of_them(tmp_path, monkeypatch, kept):
    """One long write can end anywhere, and lines that are whole would be read as recorded."""
    first, *page = some(12)
    write(tmp_path, [first])
    real = os.write

    def dies_midway(descriptor, blob):
        real(descriptor, blob[:kept])
        raise _Died

    with monkeypatch.context() as patched:
        patched.setattr(os, "write", dies_midway)
        with pytest.raises(_Died):
            write_together(tmp_path, page)
    assert [one.entry for one in read_book(tmp_path)[0]] == [first]
    write_together(tmp_path, page)

    assert read(tmp_path) == [first, *page]
    assert len(check_chain(file_of(tmp_path))) == 12
    assert [len(one.read_bytes()) for one in (tmp_path / "spare").iterdir()] == [kept]


def test_a_copy_made_while_a_unit_was_half_there_is_no_copy_of_lost_lines(tmp_path):
    """Else the next backup is refused, since the book has lost lines that never counted."""
    book, copy = tmp_path / "book", tmp_path / "copy"
    entries = a_book(book, [2, 3])
    cut(book, ends_of(file_of(book).read_bytes())[3])
    back_up(book, copy)
    write(book, entries[2:3])

    assert [(one.lines, one.only_copy) for one in compare(book, copy)] == [(2, 0)]
    back_up(book, copy)
    assert file_of(copy).read_bytes() == file_of(book).read_bytes()


def test_what_was_read_of_a_unit_is_missed_where_its_end_is_taken_away(tmp_path):
    a_book(tmp_path / "book", [2, 3])
    a_bench(tmp_path).jars()
    cut(tmp_path / "book", ends_of(file_of(tmp_path / "book").read_bytes())[3])
    bench = a_bench(tmp_path)
    shutil.copytree(tmp_path / "book", tmp_path / "unseen" / "book")

    assert any("3 lines are gone from the end" in one.why for one in bench.damages())
    assert not any(one.gone for one in a_bench(tmp_path / "unseen").damages())
