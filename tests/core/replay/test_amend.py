"""Corrections and strikes: each is kept, and what it amends counts as it says."""

import pytest
from msgspec import structs

from tests.lives import OneJar, Pen, a_charge, spirit
from tracker.core.facts.amendments import Corrected, Struck
from tracker.core.facts.fields import About
from tracker.core.facts.jars import Joined, Shaken, ToppedUp
from tracker.core.facts.lots import Bought, Recalled
from tracker.core.replay.replay import replay
from tracker.outputs.words.flags import flag_text


def test_a_strike_that_is_struck_brings_the_event_back():
    one = OneJar.charged()
    one.press(ml=370.0)
    whole = one.now()

    strike = one.strike(one.pressing)
    assert one.now().extracts == []
    one.strike(strike)
    assert one.now() == whole


def test_a_strike_of_a_strike_of_a_strike_takes_it_out_again():
    one = OneJar.charged()
    one.press()
    one.strike(one.strike(one.strike(one.pressing)))

    assert one.now().is_macerating


def test_a_correction_may_itself_be_corrected():
    one = OneJar.charged()
    one.press(ml=730.0)
    first = one.correct(one.pressing, {"volume_ml": 307.0})
    assert one.now().extracts[0].pressed_ml == 307.0
    one.correct(first, {"set": {"volume_ml": 370.0}})

    assert one.now().extracts[0].pressed_ml == 370.0


def test_the_last_of_two_corrections_of_one_field_holds():
    one = OneJar.charged()
    one.press(ml=730.0)
    one.correct(one.pressing, {"volume_ml": 307.0, "how": "ricer"})
    one.correct(one.pressing, {"volume_ml": 370.0})

    assert one.now().extracts[0].pressed_ml == 370.0
    assert one.now().extracts[0].how == "ricer"


def test_another_herb_leaves_the_name_of_the_first_behind():
    one = OneJar.charged()
    one.correct(one.charge, {"common": "marigold"})
    assert one.now().common == "marigold"
    one.correct(one.charge, {"herb": one.now().herb, "part": "flower"})
    assert one.now().common == "marigold"
    one.correct(one.charge, {"herb": "Aconitum napellus"})

    assert one.now().common is None


def test_a_strike_aimed_at_the_wrong_event_can_be_corrected_to_the_right_one():
    """Otherwise the wrong event is out and the right one still in, and nothing says so."""
    one = OneJar.charged()
    one.shake("2025-03-04")
    topped_up = one.then(ToppedUp(about=one.jar, pours=(spirit(120.0),)), "2025-03-05")
    strike = one.strike(topped_up)
    one.correct(strike, {"event": one.entries[1].id})
    jar = one.now()

    assert jar.shakes == 0
    assert len(jar.pours) == 2


@pytest.mark.parametrize("kinds", ["strike strike", "correct strike", "correct correct"])
def test_amendments_that_point_at_each_other_end(kinds):
    """Each names the other's id, as two machines that copied by hand might write."""
    one = OneJar.charged()
    one.shake("2025-03-04")
    shake = one.entries[-1].id
    for name, mine, other in zip(kinds.split(), ("amend-01", "amend-02"), "21", strict=True):
        aimed = f"amend-0{other}"
        fact = (
            Struck(event=aimed, jars=(one.charge.id,), why="never was")
            if name == "strike"
            else Corrected(event=aimed, jars=(one.charge.id,), set={"note": "x"}, why="no")
        )
        one.pen.write(fact, "2025-04-01", event_id=mine)
    one.pen.write(
        Struck(event=shake, jars=(one.charge.id,), why="never was"), "2025-04-02", "amend-03"
    )

    assert one.now().shakes == 0


def test_an_amendment_of_itself_ends():
    one = OneJar.charged()
    one.shake("2025-03-04")
    itself = Struck(event="amend-01", jars=(one.charge.id,), why="never was")
    one.pen.write(itself, "2025-04-01", event_id="amend-01")

    assert one.now().shakes == 1


def test_a_very_long_row_of_strikes_of_strikes_ends():
    """No person writes it; a file that holds it must not take the whole shelf down."""
    one = OneJar.charged()
    last = one.press()
    for _ in range(2001):
        last = one.strike(last)

    assert one.now().is_macerating


def test_a_charge_struck_takes_its_jar_off_the_shelf_and_leaves_its_events_explained():
    one = OneJar.charged()
    one.shake("2025-03-04")
    one.strike(one.charge)
    shelf = replay(one.entries)

    assert shelf.jars == {}
    assert [flag.event for flag in shelf.unplaced] == [one.entries[1].id]
    assert "its charge was struck or is not in the book" in flag_text(shelf.unplaced[0])


@pytest.mark.parametrize(
    "values",
    [
        {"volume": 370.0},  # no such field
        {"volume_ml": "much"},  # not a number
        {"volume_ml": -5.0},  # beyond the field's limit
        {"keeps": "for ever"},  # not a period
        {"time": "yesterday"},  # not a time
        {"kind": "shaken"},  # not what a correction can change
        {"v": 2},
    ],
)
def test_a_correction_that_means_nothing_is_kept_and_flagged(values):
    """The command refuses it; another program, or an older one, may have let it through."""
    one = OneJar.charged()
    one.press(ml=370.0)
    before = one.now()
    correction = one.correct(one.pressing, values)
    jar = one.now()

    assert [flag.event for flag in jar.flags] == [correction.id]
    assert structs.replace(jar, flags=[]) == structs.replace(before, flags=[])


def test_an_amendment_of_an_event_that_is_not_here_is_flagged():
    """Its event may be in a file that has not arrived yet."""
    one = OneJar.charged()
    stray = Struck(event="elsewhere-01", jars=(one.charge.id,), why="never was")
    strike = one.then(stray, "2025-04-01")

    assert [flag.event for flag in one.now().flags] == [strike.id]
    assert "elsewhere-01" in flag_text(one.now().flags[0])


def test_flags_stand_in_one_order_whatever_order_the_lines_arrive_in():
    """Two amendments of events that are not here, told in both orders."""
    one = OneJar.charged()
    for missing in ("elsewhere-02", "elsewhere-01", "elsewhere-02"):
        stray = Struck(event=missing, jars=(one.charge.id,), why="never was")
        one.then(stray, "2025-04-01")

    assert replay(one.entries) == replay(reversed(one.entries))


def test_an_event_corrected_onto_another_jar_counts_there_and_not_here():
    """The design's own example: the wrong jar was named, and the correction names both."""
    pen = Pen()
    first = pen.write(a_charge(code="CAOF-25-01"), "2025-03-03")
    second = pen.write(a_charge(code="CAOF-25-02"), "2025-03-03")
    pour = ToppedUp(about=About(jar=first.id), pours=(spirit(120.0),))
    poured = pen.write(pour, "2025-03-05")
    moved = Corrected(
        event=poured.id,
        jars=(first.id, second.id),
        set={"subject": "CAOF-25-02", "about": {"jar": second.id}},
        why="wrong jar",
    )
    pen.write(moved, "2025-03-06")
    shelf = replay(pen.entries)

    assert [len(shelf.jars[one.id].pours) for one in (first, second)] == [1, 2]
    assert [shelf.jars[one.id].flags for one in (first, second)] == [[], []]


def test_a_shake_of_several_jars_corrected_to_others_counts_for_those():
    pen = Pen()
    jars = [pen.write(a_charge(code=f"CAOF-25-0{n}"), "2025-03-03").id for n in (1, 2, 3)]
    shake = pen.write(Shaken(jars=(jars[0], jars[1])), "2025-03-05")
    right = Corrected(
        event=shake.id, jars=tuple(jars), set={"jars": [jars[1], jars[2]]}, why="misread"
    )
    pen.write(right, "2025-03-06")
    shelf = replay(pen.entries)

    assert [shelf.jars[one].shakes for one in jars] == [0, 1, 1]


def test_a_shake_of_a_jar_whose_joining_was_struck_is_flagged_as_if_it_was_never_joined():
    """It counts for the jars that are there, and does not hide that one of them is not."""
    pen = Pen()
    parts = [pen.write(a_charge(code=code), "2025-03-03") for code in ("ONE", "TWO")]
    first, second = (one.id for one in parts)
    joining = pen.write(Joined(code="ALL", parts=(first, second)), "2025-03-04")
    shake = pen.write(Shaken(jars=(first, joining.id)), "2025-03-05")
    pen.write(Struck(event=joining.id, jars=joining.jars, why="never was"), "2025-03-06")

    shelf = replay(pen.entries)
    assert shelf == replay([*parts, shake])
    assert shelf.jars[first].last_shaken == shake.when
    assert [one.event for one in shelf.unplaced] == [shake.id]


def test_a_recall_that_names_what_was_struck_is_flagged_all_the_same():
    pen = Pen()
    lot = pen.write(Bought(code="L", liquid="ethanol", volume_ml=1000.0), "2025-03-01")
    parts = [pen.write(a_charge(code=code), "2025-03-03") for code in ("ONE", "TWO")]
    first, second = (one.id for one in parts)
    joining = pen.write(Joined(code="ALL", parts=(first, second)), "2025-03-04")
    fact = Recalled(about=About(jar=lot.id), jars=(first, joining.id), why="called back")
    recall = pen.write(fact, "2025-03-05")
    pen.write(Struck(event=joining.id, jars=joining.jars, why="never was"), "2025-03-06")

    shelf = replay(pen.entries)
    assert shelf == replay([lot, *parts, recall])
    assert [one.event for one in shelf.unplaced] == [recall.id]
