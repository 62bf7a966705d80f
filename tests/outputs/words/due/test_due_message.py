"""A message: what there is to do, at most six lines, danger never left off for a shake."""

from datetime import date

from tests.outputs.terminal.test_due_groups import READY, TODAY, a_shake, an_item
from tracker.core.rules.reasons import BareLid, GoodThrough, OnHold, PastLongest
from tracker.outputs.words.due.due_message import MOST_LINES, message_lines, message_title

RECALL = OnHold("recall", "recalled with lot LOT-25-11: moths")


def test_the_head_counts_what_there_is_to_do():
    items = [an_item(1, "safety", BareLid()), a_shake(2), a_shake(3), an_item(4, "ready", READY)]

    assert message_title(items) == "Stillroom · 1 to look at, 2 to shake, 1 ready"


def test_a_line_of_one_thing_has_its_code_and_one_of_several_their_names():
    items = [
        an_item(7, "safety", BareLid(), code="ARLA-26-02"),
        *(an_item(number, "safety", RECALL, plant="lime") for number in range(4)),
        *map(a_shake, range(4)),
        an_item(6, "ready", READY, code="SARO-26-02"),
    ]

    assert message_lines(items, TODAY) == [
        "Burdock root ARLA-26-02: bare metal lid: change it, or put parchment under it",
        "Lime root (4): on hold, recalled with lot LOT-25-11: moths",
        "Shake: valerian root, nettle root, ginger root, sage root",
        "Rosemary root SARO-26-02: ready to press since 5 Nov",
    ]


def test_three_hundred_that_are_ready_are_one_line():
    items = [an_item(number, "ready", READY, plant=f"plant {number}") for number in range(300)]

    assert message_lines(items, TODAY) == [
        "Ready: plant 0 root, plant 1 root, plant 2 root, plant 3 root and 296 more"
    ]


def test_no_hold_is_left_off_for_a_shake_and_what_has_no_line_is_counted():
    holds = [
        an_item(one, "safety", OnHold("look", f"sign {one}"), plant=f"p{one}") for one in range(5)
    ]
    ended = an_item(6, "expired", GoodThrough(date(2026, 11, 13), 182.0))
    over = [an_item(one, "past-longest", PastLongest(one)) for one in (7, 8)]
    items = [*holds, an_item(5, "safety", BareLid()), *over, ended, *map(a_shake, range(9)),
             an_item(3, "ready", READY), an_item(4, "count", GoodThrough(TODAY, 1.0))]  # fmt: skip
    lines = message_lines(items, TODAY)

    assert len(lines) == MOST_LINES
    assert lines[:4] == [
        "P0 root, p1 root, p2 root, p3 root, p4 root (5): on hold",
        "Elder root XX-26-05: bare metal lid",
        "Burdock root, valerian root (2): past its longest",
        "Rosemary root XX-26-06: past its date",
    ]
    assert lines[4].startswith("Shake: ")
    assert lines[5] == "and 2 more · stillroom due"
