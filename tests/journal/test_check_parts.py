"""A file read in parts by several cores is found to hold what it holds read in order."""

from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.hypothesis_profile import searching
from tests.journal.on_disk import file_of, write
from tests.lives import OneJar
from tracker.journal import check as checking
from tracker.journal import file_parts
from tracker.journal.check import check
from tracker.journal.file_marks import marks

NOW = datetime(2026, 1, 1, tzinfo=UTC)


@pytest.fixture
def book(tmp_path):
    """Some two hundred lines by one writer."""
    one = OneJar.charged("2025-03-03")
    one.shake(*["2025-03-04"] * 200)
    write(tmp_path / "book", one.entries)
    return tmp_path / "book"


def in_parts(monkeypatch, book, cores=3):
    """What a check says with parts of any length, and how many parts it read."""
    read = []

    def part(*given):
        read.append(given)
        return plain(*given)

    plain = checking._part
    with monkeypatch.context() as patch:
        patch.setattr(file_parts, "_LEAST_BYTES", 2000)
        patch.setattr(checking, "cores", lambda: cores)
        patch.setattr(checking, "_part", part)
        patch.setattr("concurrent.futures.ProcessPoolExecutor", Here)
        return check(book, [], NOW), len(read)


class Here:
    """Does in this process what others would do in theirs."""

    def __init__(self, _):
        pass

    def __enter__(self):
        return self

    def __exit__(self, *_):
        pass

    def submit(self, what, *given):
        return Done(what(*given))


class Done:
    def __init__(self, found):
        self._found = found

    def result(self):
        return self._found


def test_a_whole_file_is_read_in_as_many_parts_as_there_are_cores(book, monkeypatch):
    report, parts = in_parts(monkeypatch, book)

    assert parts == 3
    assert report == check(book, [], NOW)
    assert report.is_whole
    assert report.lines == 201


@searching(40)
@given(st.floats(0, 1, exclude_max=True), st.sampled_from(["flip", "cut", "line", "cr", "torn"]))
def test_whatever_is_odd_is_named_as_if_read_in_order(tmp_path_factory, place, how):
    home = tmp_path_factory.mktemp("odd")
    one = OneJar.charged("2025-03-03")
    one.shake(*["2025-03-04"] * 120)
    write(home / "book", one.entries)
    path = file_of(home / "book")
    whole = path.read_bytes()
    at = int(place * len(whole))
    line = whole.rfind(b"\n", 0, at) + 1
    path.write_bytes(
        {
            "flip": whole[:at] + bytes([whole[at] ^ 1]) + whole[at + 1 :],
            "cut": whole[:at],
            "line": whole[:line] + whole[whole.index(b"\n", line) + 1 :],
            "cr": whole[:line] + whole[line:].replace(b"\n", b"\r\n", 1),
            "torn": whole + whole[line:at],
        }[how]
    )
    with pytest.MonkeyPatch.context() as patched:
        report, _ = in_parts(patched, home / "book")

    assert report == check(home / "book", [], NOW)


def test_other_processes_read_their_parts(book, monkeypatch):
    monkeypatch.setattr(file_parts, "_LEAST_BYTES", 20_000)
    monkeypatch.setattr(checking, "cores", lambda: 2)
    (mark,) = marks(book).values()

    assert len(file_parts.parts_of(book, mark, 2)) == 2
    assert check(book, [], NOW).lines == 201
