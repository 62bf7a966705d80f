"""A message: what there is to do, at most six short lines, danger never left off for a shake."""

from datetime import UTC, date, timedelta

import pytest
from msgspec.structs import replace

from tests.outputs.terminal.test_due_groups import READY, TODAY, a_shake, an_item
from tracker.core.rules.reasons import (
    BareLid,
    DatedAhead,
    GoodThrough,
    OnHold,
    PastLongest,
    RecalledInside,
    SpoilageSeen,
)
from tracker.core.values.times import When, midnight
from tracker.outputs.words.due.due_message import (
    MOST_LINES,
    MOST_OF_HEAD,
    MOST_OF_LINE,
    message_of,
    message_title,
)
from tracker.outputs.words.due.message_names import ShelfNames, cut_at_words

RECALL = OnHold("recall", "recalled with lot LOT-25-11: moths, says Anna K.")
A_DAY = When(midnight(TODAY, UTC), "day")


def lines_of(items, shelf=None):
    return list(message_of(items, TODAY, shelf).lines)


def a_shelf(*items, more=()):
    """The names of these jars, and of some more with their herb in that are not due."""
    shelf = ShelfNames()
    for code, plant, form in [
        *((one.line.code, one.herbs[0].herb, "dried") for one in items),
        *more,
    ]:
        shelf.states[code] = "herb in"
        shelf.numbers.update(("herb in", name) for name in (plant, f"{plant} root"))
        shelf.numbers["herb in", f"{form} {plant} root"] += 1
    return shelf


def test_the_head_counts_what_there_is_to_do():
    items = [an_item(1, "safety", BareLid()), a_shake(2), a_shake(3), an_item(4, "ready", READY)]

    assert message_title(items) == "Stillroom · 1 to look at, 2 to shake, 1 ready"


def test_a_head_that_desktops_would_cut_has_fewer_counts():
    many = [an_item(one, "safety", BareLid(), code=f"A{one}") for one in range(1000)]
    many += [an_item(one, "away", READY, code=f"B{one}") for one in range(1000)]
    many += [a_shake(one, code=f"C{one}") for one in range(1000)]
    title = message_title(many)

    assert title == "Stillroom · 1000 to look at, 1000 while you are away"
    assert len(title) <= MOST_OF_HEAD


def test_a_line_of_one_thing_has_its_code_and_one_of_several_their_names():
    items = [
        an_item(7, "safety", BareLid(), code="ARLA-26-02"),
        *(an_item(number, "safety", RECALL, plant="lime") for number in range(4)),
        *map(a_shake, range(4)),
        an_item(6, "ready", READY, code="SARO-26-02"),
    ]

    assert lines_of(items) == [
        "Lime root (4): on hold, recalled with lot LOT-25-11",
        "Burdock root ARLA-26-02: bare metal lid: change it, or put parchment under it",
        "Shake 4: valerian root, nettle root, ginger root, sage root",
        "Rosemary root SARO-26-02: ready to press since 5 Nov",
    ]


def test_the_gravest_of_what_is_to_be_looked_at_comes_first():
    items = [
        an_item(1, "safety", DatedAhead("shaken", A_DAY, "214"), plant="ash"),
        an_item(2, "safety", BareLid(), plant="birch"),
        an_item(3, "safety", SpoilageSeen(("mould",)), plant="cleavers"),
        an_item(4, "safety", RecalledInside("LOT-25-11", A_DAY), plant="dill"),
        an_item(5, "safety", OnHold("word", "asked by Anna K."), plant="elder"),
        an_item(6, "safety", RECALL, plant="fennel"),
    ]

    assert [line.split()[0] for line in lines_of(items)] == [
        "Fennel", "Elder", "Dill", "Cleavers", "Birch", "Ash",
    ]  # fmt: skip


def test_what_a_maker_wrote_of_people_is_not_on_a_screen_that_others_see():
    items = [
        an_item(1, "safety", OnHold("word", "asked by Anna K."), code="A1"),
        an_item(2, "safety", RECALL, code="A2"),
    ]
    said = "\n".join(lines_of(items))

    assert "Anna" not in said
    assert said.splitlines() == [
        "Ginger root A2: on hold, recalled with lot LOT-25-11",
        "Nettle root A1: on hold since 27 Nov",
    ]


def test_reasons_there_is_no_room_for_are_counted():
    both = OnHold("look", "mould"), DatedAhead("shaken", A_DAY, "214"), BareLid()
    item = an_item(1, "safety", both[0], plant="small-leaved lime flower and", code="TICO-26-02")
    crowded = replace(item, line=replace(item.line, reasons=(*both, SpoilageSeen(("mould",)))))
    (line,) = lines_of([crowded])

    assert line.endswith(": on hold; dated ahead (27 Nov); 2 more reasons")
    assert len(line) <= MOST_OF_LINE


def test_what_was_given_out_on_hold_is_said():
    held = OnHold("look", "mould", 60.0, A_DAY)

    assert ", 60 ml given out since" in lines_of([an_item(1, "safety", held)])[0]


def test_three_hundred_that_are_ready_are_one_line():
    items = [an_item(number, "ready", READY, plant=f"plant {number}") for number in range(300)]
    (line,) = lines_of(items)

    assert line.startswith("300 ready: plant 0 root, plant 1 root")
    assert line.endswith(f" and {300 - line.count('plant')} more")
    assert len(line) <= MOST_OF_LINE


def test_no_hold_is_left_off_for_a_shake_and_what_has_no_line_is_counted():
    holds = [
        an_item(one, "safety", OnHold("look", f"sign {one}"), plant=f"p{one}") for one in range(5)
    ]
    ended = an_item(6, "expired", GoodThrough(date(2026, 11, 13), 182.0))
    over = [an_item(one, "past-longest", PastLongest(one)) for one in (7, 8)]
    items = [*holds, an_item(5, "safety", BareLid()), *over, ended, *map(a_shake, range(9)),
             an_item(3, "ready", READY), an_item(4, "count", GoodThrough(TODAY, 1.0))]  # fmt: skip
    message = message_of(items, TODAY)

    assert len(message.lines) == MOST_LINES
    assert message.lines[:4] == (
        "P0 root, p1 root, p2 root, p3 root, p4 root: on hold",
        "Elder root XX-26-05: bare metal lid: change it, or put parchment under it",
        "Burdock root, valerian root: past its longest",
        "Rosemary root XX-26-06: its date was 13 Nov, 182 ml left",
    )
    assert message.lines[4].startswith("Shake 9: ")
    assert message.lines[5] == "and 2 more · stillroom due"
    assert "shake" in message.groups
    assert "count" not in message.groups


# Names


def test_jars_of_one_name_are_told_apart_unless_all_of_them_are_meant():
    two = [a_shake(1, plant="lime", code="A1"), a_shake(2, plant="lime", code="A2")]
    both = a_shelf(*two)
    one_more = a_shelf(*two, more=[("A3", "lime", "dried")])

    assert lines_of(two, both) == ["Shake 2: lime root (2)"]
    assert lines_of(two, one_more) == ["Shake 2: lime root A1, lime root A2"]


def test_fresh_and_dried_herb_of_one_plant_are_told_apart():
    due = [a_shake(1, plant="lime", code="A1"), a_shake(2, plant="sage", code="A2")]
    shelf = a_shelf(*due, more=[("A3", "lime", "fresh")])

    assert lines_of(due, shelf) == ["Shake 2: dried lime root, sage root"]


def test_parts_are_left_off_before_a_name_is_where_that_tells_as_much():
    plants = ("purple coneflower", "small-leaved lime", "stinging nettle", "wood betony", "lime")
    due = [a_shake(one, plant=plant, code=f"A{one}") for one, plant in enumerate(plants)]

    assert lines_of(due, a_shelf(*due)) == [
        f"Shake 5: {', '.join(plants[:-2])} and 2 more",
    ]
    assert lines_of(due[1:], a_shelf(*due)) == [f"Shake 4: {', '.join(plants[1:])}"]


def test_that_one_is_ready_as_well_keeps_its_place_in_a_long_line():
    ready = an_item(9, "ready", READY, plant="purple coneflower").line
    due = [a_shake(one, plant=f"long name of a plant {one}") for one in range(9)]
    due[3] = a_shake(3, plant="purple coneflower", also=ready)
    (line,) = lines_of(due)

    assert "; ready too: purple coneflower root" in line
    assert len(line) <= MOST_OF_LINE


@pytest.mark.parametrize("length", [1, 20, 60, 78, 200])
@pytest.mark.parametrize("word", ["weissdorn", "Weißdornblätter\twith\nblanks ", "山楂 "])
def test_every_line_is_short_and_one_line_whatever_a_plant_is_called(word, length):
    plant = (word * length)[:length].strip() or word.strip()
    items = [
        an_item(1, "safety", OnHold("look", "mould"), plant=plant, code="SOME-26-01"),
        an_item(2, "past-longest", PastLongest(3), plant=plant),
        *(a_shake(one, plant=plant, code=f"CODE-26-{one}") for one in range(9)),
        an_item(6, "expiring", GoodThrough(TODAY + timedelta(days=9), 182.0), plant=plant),
    ]
    for shelf in (None, a_shelf(*items), a_shelf(*items, more=[("OTHER", plant, "dried")])):
        lines = lines_of(items, shelf)

        assert "SOME-26-01" in lines[0]
        assert lines[0].endswith(": on hold: mould")
        assert max(map(len, lines)) <= MOST_OF_LINE
        assert not [line for line in lines if "\n" in line or "\t" in line]


@pytest.mark.parametrize("room", range(0, 30))
def test_what_is_cut_is_cut_after_a_word_and_says_so(room):
    text = "small-leaved lime flower in spirit"
    cut = cut_at_words(text, room)

    assert len(cut) <= max(room, 1)
    assert cut.endswith("…")
    assert room < 6 or cut.removesuffix("…").rstrip() in {
        " ".join(text.split()[:words]) for words in range(1, 5)
    } | {text[: room - 1].rstrip()}
