"""`due` in groups: the plant first, a long group folded, danger never, at any width."""

from datetime import UTC, date, timedelta

import pytest

from tracker.core.rules.reasons import BareLid, NotShaken, OnHold, PastLongest, ReadyToPress
from tracker.core.rules.reminders import Due
from tracker.core.values.times import When, midnight
from tracker.outputs.terminal.due_groups import due_groups
from tracker.outputs.terminal.table import width
from tracker.outputs.view.made import HerbView
from tracker.outputs.words.due.due_names import DueItem

TODAY = date(2026, 11, 27)  # a Friday
PLANTS = ("valerian", "nettle", "ginger", "sage", "hawthorn", "elder", "rosemary", "burdock")


def an_item(number, what, reason, plant=None, code=None, also=None):
    plant = plant or PLANTS[number % len(PLANTS)]
    line = Due(code or f"XX-26-{number:02d}", what, TODAY, (reason,), also=also)
    herb = HerbView(plant, "dried", "root", plant, 10.0, "weighed")
    return DueItem(line, f"{plant} root, dried", f"{plant} root", (herb,))


def a_shake(number, *, days=1, **more):
    last = When(midnight(TODAY - timedelta(days=days), UTC), "day")
    return an_item(number, "shake", NotShaken(last, last, is_first=True), **more)


READY = ReadyToPress(date(2026, 11, 5))


def said(items, *, total=80, **more):
    return due_groups(items, TODAY, "common", total=total, colour=False, **more)


def test_a_group_has_its_words_and_each_line_plant_code_reason():
    lines = said([an_item(1, "safety", BareLid()), a_shake(2), a_shake(3, days=20)])

    assert lines == [
        "Friday 27 November 2026",
        "",
        "look first",
        "  nettle root  XX-26-01  bare metal lid: change it, or put parchment under it",
        "shake          2 · stillroom shake --due",
        "  ginger root  XX-26-02  last shaken Thu",
        "  sage root    XX-26-03  last shaken 7 Nov",
    ]


def test_more_than_six_of_a_quiet_group_are_one_line_that_all_unfolds():
    items = [an_item(number, "ready", READY) for number in range(7)]
    folded, unfolded = said(items), said(items, unfolded=True)

    assert folded[3] == (
        "  valerian root, nettle root, ginger root, sage root, hawthorn root … 7 in all"
    )
    assert folded[-1] == "`stillroom due --all` lists each."
    assert all(any(one.line.code in line for line in unfolded) for one in items)
    assert "--all" not in unfolded[-1]


def test_what_a_recall_holds_is_one_line_with_how_many():
    why = OnHold("recall", "recalled with lot LOT-25-11: moths")
    lines = said([an_item(number, "safety", why, plant="lime") for number in range(4)])

    assert lines[3:4] == ["  lime root  4 of them  on hold, recalled with lot LOT-25-11: moths"]
    assert lines[-1] == "`stillroom due --all` lists each."


def test_danger_is_never_folded_without_what_and_how_many():
    """Two holds of different reasons among many stay two; each says how many it is about."""
    unknown, mould = OnHold("found", "its history is not known"), OnHold("look", "mould")
    items = [an_item(number, "safety", unknown) for number in range(9)]
    text = "\n".join(said([*items, an_item(10, "safety", mould)]))

    assert "9 of them" in text
    assert "on hold: its history is not known" in text
    assert "ginger root" in text
    assert "XX-26-10" in text
    assert "on hold: mould" in text

    over = [an_item(number, "past-longest", PastLongest(number + 2)) for number in range(8)]
    assert all(f"XX-26-{number:02d}  {number + 2} days over" in "\n".join(said(over))
               for number in range(8))  # fmt: skip


@pytest.mark.parametrize("total", [60, 72, 80, 100, 140, 200])
def test_at_any_width_each_code_and_each_reason_is_there_in_full(total):
    long = "a very long plant name that somebody wrote into the book as it came to mind"
    why = OnHold("word", "the neighbour said that the herb had stood in the rain for two days")
    lines = said([an_item(1, "safety", why, plant=long), a_shake(2)], total=total)

    assert max(map(width, lines)) <= total
    assert any("XX-26-01" in line for line in lines)
    words = " ".join(" ".join(line.split()) for line in lines)
    assert all(word in words for word in why.why.split())


def test_that_a_jar_is_ready_as_well_is_said_beside_its_shake():
    also = Due("XX-26-02", "ready", TODAY, (READY,))
    assert "last shaken Thu; ready to press since 5 Nov" in said([a_shake(2, also=also)])[-1]
