"""A restore that is stopped in the middle leaves nothing that looks like a book."""

import os

import pytest

from tests.journal.on_disk import a_bench
from tests.lives import a_charge, on
from tracker.bench.record import record
from tracker.core.rules.recorded import Draft
from tracker.core.values.errors import BookError
from tracker.journal import restored_copy
from tracker.journal.backup import back_up


@pytest.fixture
def copy(tmp_path):
    """A copy of a book of one line."""
    bench = a_bench(tmp_path)
    record(bench, [Draft("one-charge", "CAOF-25-01", on("2025-03-03"), a_charge())])
    back_up(bench.book, tmp_path / "copy")
    return tmp_path / "copy"


def names(folder):
    return sorted(one.name for one in folder.iterdir())


@pytest.mark.parametrize("stop", [KeyboardInterrupt, OSError(28, "No space left on device")])
def test_stopped_in_the_middle_it_leaves_nothing(copy, tmp_path, monkeypatch, stop):
    def stopped(book, fresh):
        back_up(book, fresh)
        raise stop

    monkeypatch.setattr(restored_copy, "back_up", stopped)
    place = tmp_path / "here" / "book"
    with pytest.raises((KeyboardInterrupt, BookError)):
        restored_copy.restore(copy, place)

    assert names(place.parent) == []


def test_what_was_not_read_back_as_written_is_no_book(copy, tmp_path, monkeypatch):
    def torn(book, fresh):
        back_up(book, fresh)
        (file,) = (fresh / "events").iterdir()
        file.write_bytes(file.read_bytes()[:-20])

    monkeypatch.setattr(restored_copy, "back_up", torn)
    with pytest.raises(BookError, match="does not read back"):
        restored_copy.restore(copy, tmp_path / "here" / "book")

    assert names(tmp_path / "here") == []


def test_what_a_killed_run_left_long_ago_goes_and_what_is_fresh_stays(copy, tmp_path):
    here = tmp_path / "here"
    for name, age_s in (("old", 7200), ("new", 0)):
        folder = here / f".stillroom-restoring-{name}"
        (folder / "events").mkdir(parents=True)
        at = folder.stat().st_mtime - age_s
        os.utime(folder, (at, at))
    restored_copy.restore(copy, here / "book")

    assert names(here) == [".stillroom-restoring-new", "book"]
