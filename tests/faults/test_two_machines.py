"""Two machines apart, then together: one state whatever the order, and questions, not sums."""

import json
import shutil
import tempfile
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from tests.command import Command
from tests.hypothesis_profile import SHORT, USUAL
from tests.journal.on_disk import a_bench, write
from tests.lives import CELLAR, OneJar, Pen, a_charge, books
from tracker.core.facts.amendments import SameAs
from tracker.core.facts.extracts import Bottled, BottleRun, Filtered
from tracker.core.replay.replay import replay


def pressed_twice():
    """One jar; Anna measured 330 ml, Bo 320 ml, on machines that had not met; Bo filtered."""
    one = OneJar.charged("2025-03-03")
    anna = one.press("2025-06-03", ml=330.0)
    bo = Pen(CELLAR, datetime(2025, 6, 3, 12, 0, tzinfo=UTC))
    fact = replace(anna.fact, volume_ml=320.0)
    second = bo.write(fact, "2025-06-03")
    bo.write(Filtered(about=replace(one.jar, extract=second.id), volume_ml=310.0), "2025-06-04")
    return one, anna, second, bo


def jar_of(entries):
    (jar,) = replay(entries).jars.values()
    return jar


# A question, never a sum


def test_two_pressings_of_one_jar_are_a_question_and_the_earlier_stands():
    one, _, second, bo = pressed_twice()
    jar = jar_of([*one.entries, *bo.entries])

    assert [(one.pressed_ml, one.volume_ml) for one in jar.extracts] == [(330.0, 330.0)]
    assert [flag.event for flag in jar.flags if flag.asks] == [second.id]


def test_once_settled_what_was_recorded_of_the_other_counts_for_what_stands():
    one, anna, second, bo = pressed_twice()
    bo.write(SameAs(event=second.id, stands=anna.id, jars=anna.jars), "2025-06-05")
    jar = jar_of([*one.entries, *bo.entries])

    assert [(one.id, one.pressed_ml, one.volume_ml) for one in jar.extracts] == [
        (anna.id, 330.0, 310.0)
    ]
    assert jar.flags == []


def test_the_later_record_can_stand_as_well():
    one, anna, second, bo = pressed_twice()
    run = BottleRun(size_ml=50.0, count=2, first=1)
    one.then(Bottled(about=one.extract(), bottles=(run,)), "2025-06-06")
    one.then(SameAs(event=anna.id, stands=second.id, jars=anna.jars), "2025-06-07")
    jar = jar_of([*one.entries, *bo.entries])

    assert [(one.pressed_ml, one.volume_ml) for one in jar.extracts] == [(320.0, 210.0)]
    assert jar.flags == []


def test_a_settlement_can_be_struck_and_the_question_is_back():
    one, anna, second, bo = pressed_twice()
    said = bo.write(SameAs(event=second.id, stands=anna.id, jars=anna.jars), "2025-06-05")
    one.strike(said)

    assert [flag.asks for flag in jar_of([*one.entries, *bo.entries]).flags].count(True) == 1


def test_two_settlements_that_contradict_each_other_leave_one_pressing():
    one, anna, second, bo = pressed_twice()
    bo.write(SameAs(event=second.id, stands=anna.id, jars=anna.jars), "2025-06-05")
    bo.write(SameAs(event=anna.id, stands=second.id, jars=anna.jars), "2025-06-05")
    jar = jar_of([*one.entries, *bo.entries])

    assert [one.pressed_ml for one in jar.extracts] == [330.0]
    assert len(jar.flags) == 1


def test_what_stands_was_struck_so_the_other_counts_again():
    one, anna, second, bo = pressed_twice()
    bo.write(SameAs(event=second.id, stands=anna.id, jars=anna.jars), "2025-06-05")
    one.strike(anna)

    assert [one.pressed_ml for one in jar_of([*one.entries, *bo.entries]).extracts] == [320.0]


@pytest.fixture
def asked(tmp_path):
    """The command at a book with that question in it."""
    one, anna, second, bo = pressed_twice()
    command = Command(tmp_path)
    write(command.book, [*one.entries, *bo.entries])
    return command, anna.id, second.id


def test_the_question_is_on_every_screen_until_it_is_settled(asked):
    command, first, second = asked
    said = f"same {first[-8:]} {second[-8:]}"

    assert said in command.ok("check")
    assert said in command.ok("show CAOF-25-01")
    assert said in command.run("due").err
    assert json.loads(command.run("check --json").out)["questions"][0]["event"] == second

    told = command.ok("same", first, second, "--why", "two readings of one measure")
    assert "Stands:" in told
    assert command.json("show CAOF-25-01A")["volume_ml"] == 310.0
    assert said not in command.run("check").out + command.run("due").err
    history = command.told("history CAOF-25-01")
    assert "COUNTS AS" in history
    assert "two readings of one measure" in history


@pytest.mark.parametrize(
    ("event", "other", "why"),
    [(0, 0, "named twice"), (0, 1, "that is not the same"), (1, 2, "different jars")],
)
def test_what_cannot_be_one_happening_is_refused(tmp_path, event, other, why):
    command = Command(tmp_path)
    one, anna, *_ = pressed_twice()
    another = OneJar(pen=one.pen)
    another.charge = one.then(a_charge(code="CAOF-25-02"), "2025-03-03")
    there = another.press()
    write(command.book, one.entries)
    named = [one.charge.id, anna.id, there.id]

    assert why in command.refused("same", named[event], named[other])


# Joined in any order, any number of times


@USUAL
@given(books(most=12), st.randoms(use_true_random=False), st.integers(0, 3))
def test_any_order_and_any_number_of_copies_give_one_state(book, chance, copies):
    expected = replay(book)
    heap = [one for one in book for _ in range(1 + chance.randint(0, copies))]
    chance.shuffle(heap)

    assert replay(heap) == expected


@SHORT
@given(books(most=10), st.data())
def test_files_that_arrive_piece_by_piece_in_any_order_end_in_one_state(book, data):
    """Whole files, older versions of them, and halves, asked in between."""
    with tempfile.TemporaryDirectory() as folder:
        home, there = Path(folder) / "here", Path(folder) / "there"
        write(there / "book", book)
        (home / "book" / "events").mkdir(parents=True)
        whole = {path.name: path.read_bytes() for path in (there / "book/events").iterdir()}
        pieces = [(name, cut) for name, text in whole.items() for cut in (0.3, 0.7, 1.0)]
        for name, cut in data.draw(st.permutations(pieces)):
            (home / "book/events" / name).write_bytes(whole[name][: int(len(whole[name]) * cut)])
            a_bench(home).jars()
        for name, text in whole.items():
            (home / "book/events" / name).write_bytes(text)

        assert a_bench(home).jars() == a_bench(there).jars()
        assert a_bench(home).damages() == []


def test_an_entry_is_called_by_its_number_and_by_whose_where_two_machines_wrote(asked):
    command, first, second = asked
    history = command.json("history CAOF-25-01")
    numbers = {one["id"]: one["number"] for one in history}

    assert (numbers[first], numbers[second]) == ("k2", "c1")
    assert " k2 3 Jun pressed 330 ml" in command.told("history CAOF-25-01")
    said = command.refused("strike 1 --why 'which one'")
    assert "1 may be 2 entries: c1, k1." in said
    assert "The book has no entry k9." in command.refused("strike k9 --why gone")

    command.ok("same k2 c1 --why 'two readings of one measure'")
    told = command.told("history CAOF-25-01")
    assert "COUNTS AS k2, says b1, " in told
    assert ": two readings of one measure" in told
    command.ok("note CAOF-25-01 hello")
    assert "Struck: " in command.ok("strike b2 --why 'wrong jar'")
    told = command.told("history CAOF-25-01")
    assert "STRUCK by b3, " in told
    assert ": wrong jar" in told


def test_a_half_arrived_file_is_pending_and_not_damage(asked):
    command, *_ = asked
    other = command.book / "events" / f"{CELLAR}.jsonl"
    whole = other.read_bytes()
    other.write_bytes(whole[: len(whole) - 40])

    checked = command.run("check")
    assert checked.code == 0
    assert "still being written or arriving" in checked.out
    assert "INCOMPLETE" not in command.run("shelf --done").err
    other.write_bytes(whole)
    assert "arriving" not in command.run("check").out


def test_nothing_of_another_writers_is_ever_touched(asked):
    command, *_ = asked
    events = command.book / "events"
    for name in ("kitchen.sync-conflict-20260101.jsonl", ".x.jsonl.tmp", "~y.jsonl"):
        (events / name).write_bytes(b"half a li")
    before = {path.name: path.read_bytes() for path in events.iterdir()}
    command.ok("note CAOF-25-01 'from a third machine'")
    after = {path.name: path.read_bytes() for path in events.iterdir()}

    assert after.pop("bench.jsonl")
    assert after == before


def test_the_same_number_with_other_contents_is_shown_until_it_is_settled(tmp_path):
    command = Command(tmp_path)
    one = OneJar.charged("2025-03-03")
    write(command.book, one.entries)
    kitchen = next((command.book / "events").iterdir())
    shutil.copytree(command.book, tmp_path / "copy" / "book")
    write(command.book, [one.press("2025-06-03", ml=330.0)])
    forked = replace(one.pressing, fact=replace(one.pressing.fact, volume_ml=320.0))
    write(tmp_path / "copy" / "book", [forked])
    other = tmp_path / "copy/book/events" / kitchen.name
    shutil.copy(other, kitchen.with_name("kitchen-anna (conflicted copy).jsonl"))

    assert "twice with different contents" in command.run("check").out
    assert command.json("show CAOF-25-01A")["pressed_ml"] in (330.0, 320.0)
    # Whatever is said of it settles it: both versions go by that number.
    command.ok("correct", one.pressing.id, "--set", "volume=330ml", "--why", "measured again")
    assert "twice" not in command.run("check").out
    assert command.json("show CAOF-25-01A")["pressed_ml"] == 330.0
