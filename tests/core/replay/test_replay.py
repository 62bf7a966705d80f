"""Replay as a whole: order, repeats, sums, and what may never come out of it."""

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import structs
from msgspec.structs import replace

from tests.hypothesis_profile import LONG, USUAL
from tests.lives import KITCHEN, OneJar, Pen, books, jar_after, on, spirit
from tracker.core.facts.amendments import Corrected, Noted, Struck
from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import (
    Bottled,
    BottleRun,
    Counted,
    Discarded,
    Dispensed,
    Filtered,
    Pressed,
    Restored,
)
from tracker.core.facts.jars import Charged, Found, LookedAt, Moved, Shaken, ToppedUp
from tracker.core.facts.kinds import LINKING
from tracker.core.replay.replay import replay
from tracker.core.shelf.extract import Extract
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.shelf import Shelf

AMENDMENTS = (Corrected, Struck)


def balance_ml(extract: Extract) -> float:
    """What the reckoning lost or made up: nothing, ever."""
    return (
        extract.pressed_ml
        + extract.added_ml
        - extract.passed_on_ml
        - extract.lees_ml
        - extract.volume_ml
        - extract.bottled_ml
        - extract.filter_loss_ml
        - extract.dispensed_ml
        - extract.discarded_ml
        - extract.unaccounted_ml
    )


def without_flags(shelf: Shelf, events: set[str]) -> Shelf:
    """The shelf with the flags of these events left out."""

    def kept(flags: tuple[Flag, ...] | list[Flag]) -> list[Flag]:
        return [flag for flag in flags if flag.event not in events]

    jars = {key: structs.replace(jar, flags=kept(jar.flags)) for key, jar in shelf.jars.items()}
    lots = {key: structs.replace(lot, flags=kept(lot.flags)) for key, lot in shelf.lots.items()}
    return Shelf(jars, lots, tuple(kept(shelf.unplaced)))


@LONG
@given(books(), st.data())
def test_the_state_is_the_same_whatever_order_the_lines_arrive_in(book, data):
    """Files are synchronised in any order, and a conflict copy brings every line again."""
    shuffled = data.draw(st.permutations(book))
    again = data.draw(st.lists(st.sampled_from(book), max_size=5))

    assert replay(shuffled) == replay(book)
    assert replay([*again, *shuffled, *again]) == replay(book)


@LONG
@given(books(), st.data())
def test_striking_an_event_equals_never_having_recorded_it(book, data):
    """Flags of the amendments are left out on both sides.

    An earlier amendment of the struck event says nothing where the event is struck, and
    names an event that is not in the book where the event never was.
    """
    target = data.draw(st.sampled_from(book))
    amendments = {one.id for one in book if isinstance(one.fact, AMENDMENTS)}
    strike = Struck(event=target.id, jars=target.jars, why="never was")

    struck = replay([*book, _last(book, strike)])
    never = replay([one for one in book if one.id != target.id])

    assert without_flags(struck, amendments) == without_flags(never, amendments)


def _last(book: list[Entry], fact: object) -> Entry:
    """One more line, written after all of them by a writer of its own."""
    pen = Pen("attic-cleo", max(one.recorded for one in book))
    return pen.write(fact, "2027-01-01")


@USUAL
@given(books(amended=False), st.data())
def test_a_corrected_event_equals_the_right_one_recorded_in_the_first_place(book, data):
    wrong = data.draw(st.sampled_from(book))
    right, values = data.draw(corrections(wrong))
    correction = Corrected(event=wrong.id, jars=wrong.jars, set=values, why="misread")

    corrected = replay([*book, _last(book, correction)])
    first_time_right = replay([right if one.id == wrong.id else one for one in book])

    assert corrected == first_time_right


@st.composite
def corrections(draw: st.DrawFn, wrong: Entry) -> tuple[Entry, dict[str, object]]:
    """The entry as it ought to have been, and what a correction says to make it so."""
    day = on(draw(st.dates(on("2025-01-01").earliest, on("2026-12-31").earliest)))
    changes: dict[str, object] = {"note": draw(st.sampled_from(["read again", "by lamplight"]))}
    ml = st.floats(0.01, 1000)
    match wrong.fact:
        case Pressed() | Filtered() | Dispensed() | Counted() | Discarded():
            changes["volume_ml"] = draw(ml)
        case Bottled():
            changes["bottles"] = (BottleRun(size_ml=draw(ml), count=2, first=1),)
        case ToppedUp():
            changes["pours"] = (spirit(draw(ml)),)
        case LookedAt():
            changes |= {"verdict": "watch", "signs": ("mould",)}
        case _:
            pass
    right = replace(wrong, when=day, fact=replace(wrong.fact, **changes))
    values = msgspec.to_builtins(changes)
    return right, values | {"time": day.start.isoformat(), "precision": "day"}


@LONG
@given(books())
def test_no_volume_is_ever_negative(book):
    for jar in replay(book).jars.values():
        for extract in jar.extracts:
            assert extract.volume_ml >= 0
            assert all(bottle.volume_ml >= 0 for bottle in extract.bottles)
            assert extract.dispensed_ml >= -1e-9
            assert extract.discarded_ml >= -1e-9


@LONG
@given(books())
def test_what_was_pressed_is_in_bulk_in_bottles_gone_or_unaccounted(book):
    for jar in replay(book).jars.values():
        for extract in jar.extracts:
            assert balance_ml(extract) == pytest.approx(0, abs=1e-6)


@USUAL
@given(books(most=30))
def test_a_charge_that_nothing_strikes_opens_its_jar_whatever_else_was_recorded(book):
    shelf = replay(book)
    struck = {one.fact.event for one in book if isinstance(one.fact, Struck)}

    charged = {one.id for one in book if isinstance(one.fact, Charged | Found)}
    others = {jar_id for one in book if isinstance(one.fact, LINKING) for jar_id in one.jars}
    assert charged - struck <= shelf.jars.keys() <= charged | others


def test_a_drop_more_than_there_was_is_unaccounted_and_no_flag():
    """People measure to a drop; the book still adds up to the last digit."""
    one = OneJar.charged()
    one.press(ml=100.0)
    one.bottle("2025-06-04", (1, 100.03))
    jar = one.now()

    assert jar.flags == []
    assert balance_ml(jar.extracts[0]) == pytest.approx(0, abs=1e-6)


def test_a_drop_more_than_a_bottle_held_is_unaccounted_and_no_flag():
    one = OneJar.charged()
    one.press(ml=100.0)
    one.bottle("2025-06-04", (1, 50.0))
    one.then(Dispensed(about=one.extract(1), volume_ml=50.04), "2025-06-05")
    jar = one.now()

    assert jar.flags == []
    assert balance_ml(jar.extracts[0]) == pytest.approx(0, abs=1e-6)


def test_a_filter_that_gave_more_than_went_in_is_flagged_and_loses_nothing():
    """A filter loss below nothing would hide a slip in the sum of all losses."""
    one = OneJar.charged()
    one.press(ml=370.0)
    filtering = one.then(
        Filtered(about=one.extract(), before_ml=300.0, volume_ml=350.0), "2025-06-04"
    )
    jar = one.now()

    assert jar.extracts[0].filter_loss_ml >= 0
    assert [flag.event for flag in jar.flags] == [filtering.id]


def test_two_lines_of_one_number_that_differ_give_one_state_and_a_flag():
    """A writer's file was copied to a second machine, and both wrote on."""
    one = OneJar.charged()
    one.press(ml=370.0)
    twin = replace(one.pressing, fact=replace(one.pressing.fact, volume_ml=300.0))
    there, back = replay([*one.entries, twin]), replay([twin, *reversed(one.entries)])

    assert there == back
    assert len(there.jars[one.charge.id].extracts) == 1
    assert [flag.event for flag in there.jars[one.charge.id].flags] == [twin.id]


# Order within a day, and the sums of a whole life


def test_a_bottle_is_filled_before_it_is_given_out_though_both_happened_that_day():
    """Only days are known; the writer told them in the wrong order."""
    one = OneJar.charged()
    one.pressing = Entry(
        "pressing-01", KITCHEN, 90, "CAOF-25-01", on("2025-06-03"), one.pen.recorded,
        Pressed(about=one.jar, letter="A", volume_ml=370.0, keeps="P12M"),
    )  # fmt: skip
    one.then(Dispensed(about=one.extract(2), volume_ml=50.0), "2025-06-03")
    one.bottle("2025-06-03", (3, 100.0))
    jar = jar_after([*one.entries, one.pressing], one.charge.id)

    assert jar.flags == []
    assert jar.extracts[0].volume_ml == pytest.approx(70.0)
    assert jar.extracts[0].bottle(2).volume_ml == pytest.approx(50.0)


def test_a_press_written_down_late_counts_from_the_day_it_happened():
    one = OneJar.charged("2025-03-03")
    one.then(Shaken(jars=(one.charge.id,)), "2025-03-20")
    one.press("2025-03-15")
    jar = one.now()

    assert jar.shakes == 0
    assert jar.extracts[0].pressed == on("2025-03-15")
    assert [flag.event for flag in jar.flags] == [one.entries[1].id]


def test_one_life_from_charge_to_last_drop_adds_up():
    """Worked by hand: 370 pressed, 358 after the filter, 350 in bottles, 8 left in bulk."""
    one = OneJar.charged("2025-03-03", least="P28D")
    one.shake(*[f"2025-03-{day:02d}" for day in (*range(4, 11), *range(13, 18), 26)])
    one.shake("2025-04-02")
    one.press("2025-04-05", ml=370.0, how="by hand")
    one.then(Filtered(about=one.extract(), volume_ml=358.0), "2025-04-07")
    one.bottle("2025-04-07", (3, 100.0), (1, 50.0))
    one.then(Dispensed(about=one.extract(1)), "2025-04-20")
    gone = one.then(Discarded(about=one.extract(2), why="cracked"), "2025-04-21")
    one.then(Restored(about=one.extract(2), discard=gone.id), "2025-04-22")
    one.then(Discarded(about=one.extract(3), why="cracked"), "2025-04-23")
    one.then(Counted(about=one.extract(), volume_ml=7.0), "2025-05-01")
    jar = one.now()
    extract = jar.extracts[0]

    assert (jar.shakes, jar.flags) == (14, [])
    assert extract.filter_loss_ml == pytest.approx(12.0)
    assert extract.volume_ml == pytest.approx(7.0)
    assert [bottle.volume_ml for bottle in extract.bottles] == [0.0, 100.0, 0.0, 50.0]
    assert [bottle.discarded for bottle in extract.bottles] == [False, False, True, False]
    assert (extract.dispensed_ml, extract.discarded_ml) == (100.0, 100.0)
    assert extract.unaccounted_ml == pytest.approx(1.0)
    assert balance_ml(extract) == pytest.approx(0, abs=1e-9)


def test_looking_moving_and_noting_change_what_they_say_and_nothing_else():
    one = OneJar.charged(lid="metal", place="pantry")
    one.press()
    before = one.now()
    one.then(Noted(about=one.jar, note="smells of hay"), "2025-06-04")
    assert one.now() == before

    one.then(Moved(about=one.extract(), place="north sill"), "2025-06-05")
    one.then(LookedAt(about=one.extract(), verdict="hold", signs=("cloudy",)), "2025-06-06")
    one.then(Moved(about=one.jar, jar_ml=750.0, lid="glass"), "2025-06-07")
    jar = one.now()

    assert (jar.place, jar.lid, jar.jar_ml, jar.on_hold) == ("pantry", "glass", 750.0, False)
    assert jar.extracts[0].place == "north sill"
    assert (jar.extracts[0].look.verdict, jar.extracts[0].look.signs) == ("hold", ("cloudy",))
    assert jar.flags == []
