"""One id on several lines: of one writer only the first counts, wherever the others point."""

from contextlib import closing

import pytest

from tests.command import Command
from tests.hostile.books import put
from tests.journal.model.test_bring_on import held
from tests.lives import CELLAR, KITCHEN, Pen, a_charge
from tracker.core.facts.extracts import Pressed
from tracker.core.facts.fields import About
from tracker.core.facts.jars import LookedAt, Shaken
from tracker.core.replay.replay import replay
from tracker.core.shelf.misfit import ContentsDiffer
from tracker.journal.model.read_model import ReadModel
from tracker.journal.model.refresh import refresh


def two_jars() -> tuple[Pen, str, str]:
    pen = Pen()
    first = pen.write(a_charge(), "2025-03-03").id
    second = pen.write(a_charge(code="MEOF-25-01"), "2025-03-03").id
    return pen, first, second


def pressed_as(pen: Pen, event: str, *jars: str) -> None:
    for jar in jars:
        press = Pressed(about=About(jar=jar), letter="A", volume_ml=300.0, keeps="P36M")
        pen.write(press, "2025-04-04", event)


def pressings(shelf) -> dict[str, int]:
    return {one.code: len(one.extracts) for one in shelf.jars.values()}


@pytest.mark.parametrize("turned", [False, True])
def test_of_two_jars_pressed_under_one_id_the_first_counts(turned):
    pen, first, second = two_jars()
    pressed_as(pen, "kitchen-pressed", first, second)
    entries = pen.entries[::-1] if turned else pen.entries
    shelf = replay(entries)

    assert pressings(shelf) == {"CAOF-25-01": 1, "MEOF-25-01": 0}
    said = [*shelf.unplaced, *(flag for one in shelf.jars.values() for flag in one.flags)]
    assert [flag.event for flag in said if isinstance(flag.misfit, ContentsDiffer)]


def test_what_came_later_is_seen_without_reading_all_over(tmp_path):
    """A model that read the first line only, and one made new, hold the same."""
    pen, first, second = two_jars()
    pressed_as(pen, "kitchen-pressed", first)
    model = ReadModel(tmp_path / "book", tmp_path / "one-1.sqlite")
    put(model.book, KITCHEN, pen.entries)
    refresh(model).close()
    pressed_as(pen, "kitchen-pressed", second)
    put(model.book, f"{KITCHEN} (copy)", pen.entries)
    fresh = ReadModel(model.book, tmp_path / "two-1.sqlite")
    with closing(refresh(model)) as one, closing(refresh(fresh)) as two:
        assert held(one) == held(two)
        found = one.answer(lambda connection: connection.cards.every())
    assert [one.pressed for one in sorted(found, key=lambda one: one.code)] == [True, False]


def test_a_copy_of_a_file_is_no_reason_to_read_all_over(tmp_path, monkeypatch):
    pen, first, _ = two_jars()
    pressed_as(pen, "kitchen-pressed", first)
    model = ReadModel(tmp_path / "book", tmp_path / "one-1.sqlite")
    put(model.book, KITCHEN, pen.entries)
    refresh(model).close()
    put(model.book, f"{KITCHEN} (copy)", pen.entries)
    monkeypatch.setattr("tracker.journal.model.refresh._built", None)

    refresh(model).close()


@pytest.mark.parametrize("event", ["kitchen-pressed", "kitchen-shaken"])
def test_an_id_of_two_writers_is_two_events_also_after_more_is_recorded(tmp_path, event):
    """The stranger's line says the same id about another jar; both jars are shaken together."""
    pen, first, second = two_jars()
    pressed_as(pen, "kitchen-pressed", first)
    pen.write(Shaken(jars=(first, second)), "2025-03-04", "kitchen-shaken")
    other = Pen(CELLAR)
    looked = LookedAt(about=About(jar=second), signs=("cloudy",), verdict="watch")
    other.write(looked, "2025-04-05", event)
    put(tmp_path / "book", KITCHEN, pen.entries)
    put(tmp_path / "book", CELLAR, other.entries)
    command = Command(tmp_path)
    command.practice('zone = "Europe/Berlin"\n')
    for line in ("shake MEOF-25-01 --when 2025-03-05", "note CAOF-25-01 dark", "note MEOF-25-01 x"):
        command.ok(line)
    fresh = ReadModel(tmp_path / "book", tmp_path / "two-1.sqlite")
    with closing(refresh(command.bench().model)) as one, closing(refresh(fresh)) as two:
        assert held(one) == held(two)
    assert "cloudy" in command.told("history MEOF-25-01")


def test_a_line_under_the_id_of_another_jars_asks_in_every_answer(tmp_path):
    pen, first, second = two_jars()
    pressed_as(pen, "kitchen-pressed", first, second)
    put(tmp_path / "book", KITCHEN, pen.entries)
    command = Command(tmp_path)
    command.practice('zone = "Europe/Berlin"\n')

    assert "twice with different contents" in command.ok("check")
