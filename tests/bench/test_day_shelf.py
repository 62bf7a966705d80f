"""What is dated ahead is told of the lines about few things as of all lines of the book."""

import tempfile
from datetime import date, timedelta
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from tests.hypothesis_profile import USUAL, searching
from tests.journal.on_disk import a_bench, write
from tests.lives import OneJar, a_charge, books, on
from tests.valid_lives import valid_life
from tracker.bench.day_shelf import day_shelf, shelf_of_all_lines, shelf_of_late_lines
from tracker.core.facts.jars import Shaken, Split
from tracker.core.rules.dated_ahead import with_dated_ahead

DAY = timedelta(days=1)


def is_told_the_same(entries, today):
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        (home / "book").mkdir()
        write(home / "book", entries)
        bench = a_bench(home)
        every, few = shelf_of_all_lines(bench, today), shelf_of_late_lines(bench, today)
        if few is not None:
            assert sorted(few.batches, key=by_id) == sorted(every.batches, key=by_id)
            assert with_dated_ahead([], few.ahead) == with_dated_ahead([], every.ahead)
        return few is not None and bool(few.ahead)


def with_own_code(entry):
    """Lives give all lots, all blends and all parts of a split one code."""
    if isinstance(entry.fact, Split):
        parts = [replace(one, code=f"C-{entry.sequence}-{one.code}") for one in entry.fact.into]
        return replace(entry, fact=replace(entry.fact, into=tuple(parts)))
    if not hasattr(entry.fact, "code"):
        return entry
    return replace(entry, fact=replace(entry.fact, code=f"C-{entry.sequence}"))


def by_id(batch):
    return batch.id


@USUAL
@given(books(), st.data())
def test_any_book_on_a_day_before_its_last(entries, data):
    days = sorted({one.when.earliest for one in entries} | {one.when.latest for one in entries})
    is_told_the_same(entries, data.draw(st.sampled_from(days)) - data.draw(st.integers(0, 3)) * DAY)


@searching(12)
@given(st.integers(0, 10**6), st.integers(1, 12))
def test_a_valid_life_some_days_before_its_end(seed, days):
    entries = [with_own_code(one) for one in valid_life(seed, 70).entries]

    is_told_the_same(entries, max(one.when.latest for one in entries) - days * DAY)


def test_of_one_shake_dated_ahead_no_line_about_other_jars_is_read(tmp_path):
    one = OneJar.charged()
    other = one.pen.write(a_charge(code="MEOF-25-01"), "2025-03-04")
    one.pen.write(Shaken(jars=(other.id,)), on("2031-01-01"))
    (tmp_path / "book").mkdir()
    write(tmp_path / "book", one.entries)
    bench, today = a_bench(tmp_path), date(2025, 3, 5)

    lines, ids = bench.joined_lines(bench.told_from(today + DAY))

    assert ids == {other.id}
    assert len(lines) == 2
    assert day_shelf(bench, today) == shelf_of_all_lines(bench, today)
