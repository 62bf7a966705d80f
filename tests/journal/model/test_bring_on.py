"""A model that goes on from what was appended is the model that reads the book again."""

import sqlite3
import tempfile
from contextlib import closing
from itertools import groupby
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.hypothesis_profile import SHORT
from tests.journal.on_disk import file_of, some, write
from tests.lives import CELLAR, Pen, a_charge, books
from tracker.journal.append import append
from tracker.journal.model import refresh
from tracker.journal.model.file_steps import Files
from tracker.journal.model.id_sums import IdSums
from tracker.journal.model.known_ends import read_heads
from tracker.journal.model.read_model import (
    ReadModel,
    batches,
    damages,
    last_day,
    lots,
    places_of,
    read_marks,
    unplaced_of,
    writers,
)
from tracker.journal.model.refresh import bring_on
from tracker.journal.model.sealed_model import AWAITED

NO_IDS = b"\x80"  # an empty map


def a_model(home, name="shelf"):
    return ReadModel(home / "book", home / f"{name}-1.sqlite")


def held(connection):
    """All a model holds, without the order in which it came to hold it."""
    every = connection.answer(lambda model: model.cards.every())
    things = {
        card.id: (*plain(card), sorted(connection.answer(places_of, card.id))) for card in every
    }
    return {
        "marks": connection.answer(read_marks),
        "heads": read_heads(connection),
        "things": things,
        "batches": connection.answer(batches),
        "lots": connection.answer(lots),
        "steps": connection.answer(steps),
        "ids": connection.answer(ids),
        "awaited": connection.answer(lambda model: model.aside(AWAITED)) or NO_IDS,
        "damages": sorted(connection.answer(damages), key=repr),
        "unplaced": connection.answer(unplaced_of),
        "writers": connection.answer(writers),
        "last day": connection.answer(last_day),
    }


def steps(connection):
    """Where reading can begin, in each file."""
    files = Files(connection)
    return {
        name: [files.before(name, line + 1) for line in range(mark.lines)]
        for name, mark in read_marks(connection).items()
    }


def ids(connection):
    """The sums of all ids."""
    sums = IdSums(connection, 0)
    return sorted(one for page in range(1 << sums._pages.bits) for one in sums._page(page))


def plain(card):
    """A card without where things are kept, and without the sums of that."""
    return (card.kind, card.live, card.code, card.shown, card.herb, card.pressed, card.recalled)


def built(home):
    """What a model of the same book holds that was made from its first line on."""
    with tempfile.TemporaryDirectory() as fresh:
        model = ReadModel(home / "book", Path(fresh) / "fresh-1.sqlite")
        with closing(refresh.refresh(model)) as connection:
            return held(connection)


def append_some(home, entries):
    return append(home / "book", entries[0].source, entries, home / "spare")


@SHORT
@given(books(), st.data())
def test_after_any_units_the_model_holds_what_one_made_new_holds(book, data):
    with tempfile.TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patched:
        home = Path(folder)
        (home / "book").mkdir()
        with closing(refresh.refresh(a_model(home))) as connection:
            patched.setattr(refresh, "Reading", None)  # no file is read a second time
            for _, own in groupby(book, key=lambda one: one.source):
                rest = list(own)
                while rest:
                    size = data.draw(st.integers(1, 4))
                    written = append_some(home, rest[:size])
                    assert bring_on(connection, home / "book", written)
                    rest = rest[size:]
            patched.undo()

            assert held(connection) == built(home)


@pytest.mark.parametrize("size", [3, 100, 300])
def test_reading_can_begin_at_the_end_of_the_first_command_past_so_many_lines(tmp_path, size):
    (tmp_path / "book").mkdir()
    with closing(refresh.refresh(a_model(tmp_path))) as connection:
        for at in range(0, 900, size):
            written = append_some(tmp_path, some(at + size)[at:])
            assert bring_on(connection, tmp_path / "book", written)
        on, new = held(connection)["steps"], built(tmp_path)["steps"]
    ((_, found),) = on.items()
    first = -(-128 // size) * size

    assert on == new
    assert [one.lines for one in found][first - 1 : first + 1] == [0, first]


@pytest.fixture
def home(tmp_path):
    write(tmp_path / "book", some(3))
    return tmp_path


def test_a_model_that_went_on_is_current_for_the_next_look(home, monkeypatch):
    model = a_model(home)
    with closing(refresh.refresh(model)) as connection:
        assert bring_on(connection, home / "book", append_some(home, some(6)[3:]))
    monkeypatch.setattr(refresh, "refresh", None)  # what `connect` calls where it is not

    with closing(model.connect()) as connection:
        assert len(connection.answer(ids)) == 6


def another_writer(home):
    write(home / "book", [Pen(CELLAR).write(a_charge(code="MEOF-25-01"), "2025-03-04")])


def own_file_meanwhile(home):
    write(home / "book", some(4)[3:])


def a_file_that_goes(home):
    file_of(home / "book", CELLAR).unlink(missing_ok=True)
    file_of(home / "book", "third").unlink()


@pytest.mark.parametrize("meanwhile", [another_writer, own_file_meanwhile, a_file_that_goes])
@pytest.mark.parametrize("first", [True, False])
def test_a_model_that_was_not_current_is_left_for_the_next_look(home, meanwhile, first):
    """Else what came in between would never be read: the mark would stand behind it."""
    write(home / "book", [Pen("third").write(a_charge(code="URDI-25-01"), "2025-03-04")])
    with closing(refresh.refresh(a_model(home))) as connection:
        before = held(connection)
        if first or meanwhile is own_file_meanwhile:
            meanwhile(home)
        written = append_some(home, some(5)[4:])
        if not first:
            meanwhile(home)

        assert not bring_on(connection, home / "book", written)
        assert held(connection) == before
    with closing(refresh.refresh(a_model(home))) as connection:
        mine = {name: rows for name, rows in held(connection).items() if name != "heads"}
        fresh = built(home)

        assert {**mine, "damages": []} == {
            name: rows for name, rows in {**fresh, "damages": []}.items() if name != "heads"
        }


def test_a_torn_end_that_was_set_aside_is_no_longer_pending(home):
    with file_of(home / "book").open("ab") as file:
        file.write(b'{"specversion":"1.0","id":"ki')
    with closing(refresh.refresh(a_model(home))) as connection:
        assert [one.pending for one in held(connection)["damages"]] == [True]
        assert bring_on(connection, home / "book", append_some(home, some(4)[3:]))

        assert held(connection) == built(home)
        assert held(connection)["damages"] == []


def test_a_file_whose_end_is_missed_is_not_gone_on_from(home):
    """What is missed there is named with numbers that the new lines change."""
    model = a_model(home)
    refresh.refresh(model).close()
    whole = file_of(home / "book").read_bytes()
    file_of(home / "book").write_bytes(whole[: whole.index(b"\n") + 1])
    with closing(refresh.refresh(model)) as connection:
        assert not bring_on(connection, home / "book", append_some(home, some(4)[3:]))
    with closing(refresh.refresh(model)) as connection:
        (damage,) = held(connection)["damages"]

        assert damage.gone


def test_a_failure_on_the_way_leaves_the_model_as_it_was(home, monkeypatch):
    """And is no failure of the recording, whose lines are on the disk."""
    with closing(refresh.refresh(a_model(home))) as connection:
        before = held(connection)
        written = append_some(home, some(4)[3:])

        def fails(*_):
            raise sqlite3.OperationalError("disk I/O error")

        with monkeypatch.context() as patched:
            patched.setattr(refresh.Shelving, "finish", fails)
            assert not bring_on(connection, home / "book", written)

        assert held(connection) == before
        assert bring_on(connection, home / "book", written)
        assert held(connection) == built(home)
