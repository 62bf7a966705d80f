"""What the bench answers: the shelf as it was on a day, and what a code names."""

import tempfile
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from tests.hypothesis_profile import SHORT
from tests.journal.on_disk import a_bench, write
from tests.lives import CELLAR, OneJar, Pen, a_charge, books, on, spirit
from tracker.bench.record import opened
from tracker.core.facts.entry import replay_order
from tracker.core.facts.extracts import Dispensed
from tracker.core.facts.jars import ToppedUp
from tracker.core.replay.replay import replay
from tracker.core.values.errors import (
    AmbiguousCodeError,
    AmbiguousEntryError,
    UnknownCodeError,
    UnknownEntryError,
)


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A book of one pressed jar by one writer."""
    one = OneJar.charged("2025-03-03")
    one.shake("2025-03-04", "2025-03-05")
    one.press("2025-06-03", ml=370.0)
    write(tmp_path / "book", one.entries)
    return tmp_path


# As it was on a day


def test_as_of_a_day_only_what_had_happened_by_then_counts(home):
    bench = a_bench(home)
    before = {
        day: [(jar.shakes, len(jar.extracts)) for jar in bench.jars(on=date.fromisoformat(day))]
        for day in ("2025-03-02", "2025-03-03", "2025-03-04", "2025-06-02", "2025-06-03")
    }

    assert before == {
        "2025-03-02": [],
        "2025-03-03": [(0, 0)],
        "2025-03-04": [(1, 0)],
        "2025-06-02": [(2, 0)],
        "2025-06-03": [(2, 1)],
    }
    assert bench.jars(on=date(2030, 1, 1)) == bench.jars()


@SHORT
@given(books(amended=False), st.dates(date(2025, 2, 1), date(2026, 12, 1)))
def test_as_of_any_day_the_shelf_is_a_replay_of_what_had_happened(book, day):
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        write(home / "book", book)
        shelf = replay(one for one in book if one.when.earliest <= day)
        bench = a_bench(home)
        last = max(one.when.latest for one in book)
        expected = shelf if day < last else replay(book)

        assert {jar.id for jar in bench.batches(on=day)} == (expected.jars | expected.blends).keys()
        for jar in bench.batches(on=day):
            plain = (expected.jars | expected.blends)[jar.id]
            assert (jar.shakes, jar.pours, jar.extracts) == (
                plain.shakes,
                plain.pours,
                plain.extracts,
            )


def test_as_of_a_day_an_event_counts_by_its_corrected_date(tmp_path):
    """Written down as 1 May, corrected to 1 April: in mid-April it had happened."""
    one = OneJar.charged("2025-03-03")
    poured = one.then(ToppedUp(about=one.jar, pours=(spirit(120.0),)), "2025-05-01")
    one.correct(poured, {"time": on("2025-04-01").start.isoformat()})
    write(tmp_path / "book", one.entries)
    bench = a_bench(tmp_path)

    assert [len(jar.pours) for jar in bench.jars(on=date(2025, 4, 15))] == [2]
    assert [len(jar.pours) for jar in bench.jars(on=date(2025, 3, 15))] == [1]


def test_as_of_a_day_an_event_corrected_to_a_later_date_had_not_happened(tmp_path):
    one = OneJar.charged("2025-03-03")
    poured = one.then(ToppedUp(about=one.jar, pours=(spirit(120.0),)), "2025-04-01")
    one.correct(poured, {"time": on("2025-05-01").start.isoformat()})
    write(tmp_path / "book", one.entries)

    assert [len(jar.pours) for jar in a_bench(tmp_path).jars(on=date(2025, 4, 15))] == [1]


def test_as_of_a_day_the_amendments_of_later_events_are_no_flags(tmp_path):
    """What was corrected happened after that day: there is nothing to say about it yet."""
    one = OneJar.charged("2025-03-03")
    one.press("2025-06-03", ml=730.0)
    one.correct(one.pressing, {"volume_ml": 370.0})
    write(tmp_path / "book", one.entries)

    assert [jar.flags for jar in a_bench(tmp_path).jars(on=date(2025, 4, 1))] == [[]]


def test_as_of_a_day_what_was_struck_is_out_whenever_it_was_struck(tmp_path):
    one = OneJar.charged("2025-03-03")
    one.shake("2025-03-04", "2025-03-05")
    one.strike(one.entries[1])
    write(tmp_path / "book", one.entries)

    assert [jar.shakes for jar in a_bench(tmp_path).jars(on=date(2025, 3, 4))] == [0]


# Finding things


def test_a_code_may_be_shortened_while_it_is_clear(home):
    bench = a_bench(home)

    assert bench.find("caof").jar.code == "CAOF-25-01"
    assert bench.find("CAOF-25-01A").kind == "extract"
    with pytest.raises(UnknownCodeError) as unknown:
        bench.find("CAOF-25-02")
    assert "CAOF-25-01" in unknown.value.do


def test_a_short_code_that_fits_two_jars_on_the_shelf_is_asked_about(home):
    write(home / "book", [Pen(CELLAR).write(a_charge(code="CAOF-25-02"), "2025-04-01")])
    with pytest.raises(AmbiguousCodeError) as ambiguous:
        a_bench(home).find("CAOF")
    assert "CAOF-25-01" in ambiguous.value.what


def test_a_short_code_means_the_jar_that_is_still_there(home):
    one = OneJar.charged("2025-03-03")
    write(home / "book", [Pen(CELLAR).write(a_charge(code="CAOF-25-02"), "2025-04-01")])
    extract = a_bench(home).find("CAOF-25-01A").extract
    gone = Dispensed(about=replace(one.jar, extract=extract.id))
    write(home / "book", [Pen("attic-cleo").write(gone, "2025-07-01")])

    assert a_bench(home).find("CAOF").jar.code == "CAOF-25-02"


@SHORT
@given(books())
def test_the_history_of_a_jar_is_every_line_about_it_once_and_in_order(book):
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        write(home / "book", book)
        bench = a_bench(home)
        for jar in bench.batches():
            told = bench.entries_of(jar.id)
            about_it = {one.id for one in book if jar.id in one.jars}
            assert sorted(one.id for one in told) == sorted(about_it)
            assert told == sorted(told, key=replay_order)


def test_an_entry_is_found_by_its_number_or_by_either_end_of_its_id(home):
    called = ("4", " K4 ", "kitchen-anna4", "kitchen-anna:4", "anna-0004", "kitchen-anna-0004")
    with opened(a_bench(home)) as book:
        assert book.entry("kitchen-anna-0001").kind == "charged"
        for text in called:
            assert book.entry(text).kind == "pressed", text
        with pytest.raises(AmbiguousEntryError):
            book.entry("kitchen")
        for text in ("99", "c4", "0004-", "anna4", "", "nna", "4\n5"):
            with pytest.raises(UnknownEntryError):
                book.entry(text)
