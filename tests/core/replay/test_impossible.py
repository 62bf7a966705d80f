"""What cannot be is kept, flagged and explained; it never stops the replay."""

import pytest

from tests.lives import KITCHEN, OneJar, Pen, a_charge, spirit
from tracker.core.facts.extracts import (
    Bottled,
    BottleRun,
    Counted,
    Discarded,
    Dispensed,
    Restored,
)
from tracker.core.facts.fields import About
from tracker.core.facts.jars import Shaken, ToppedUp
from tracker.core.replay.replay import replay
from tracker.outputs.words.flags import flag_text


def _pressed_twice(one: OneJar) -> str:
    one.press("2025-06-03")
    return one.press("2025-06-10").id


def _shaken_after_pressing(one: OneJar) -> str:
    one.press("2025-06-03")
    return one.then(Shaken(jars=(one.charge.id,)), "2025-06-10").id


def _topped_up_after_discard(one: OneJar) -> str:
    one.then(Discarded(about=one.jar, why="mould"), "2025-04-01")
    return one.then(ToppedUp(about=one.jar, pours=(spirit(),)), "2025-04-02").id


def _pressed_after_discard(one: OneJar) -> str:
    one.then(Discarded(about=one.jar, why="mould"), "2025-04-01")
    return one.press("2025-06-03").id


def _discarded_twice(one: OneJar) -> str:
    one.then(Discarded(about=one.jar, why="mould"), "2025-04-01")
    return one.then(Discarded(about=one.jar, why="mould"), "2025-04-02").id


def _herb_discarded_after_pressing(one: OneJar) -> str:
    one.press("2025-06-03")
    return one.then(Discarded(about=one.jar, why="mould"), "2025-06-10").id


def _restored_though_never_gone(one: OneJar) -> str:
    return one.then(Restored(about=one.jar, discard="elsewhere-01"), "2025-04-01").id


def _bottled_from_nothing(one: OneJar) -> str:
    unknown = About(jar=one.charge.id, extract="elsewhere-01")
    fact = Bottled(about=unknown, bottles=(BottleRun(size_ml=50.0, count=1, first=1),))
    return one.then(fact, "2025-06-04").id


def _bottled_beyond_the_extract(one: OneJar) -> str:
    one.press(ml=100.0)
    return one.bottle("2025-06-04", (3, 50.0)).id


def _one_number_filled_twice(one: OneJar) -> str:
    one.press()
    one.bottle("2025-06-04", (2, 50.0))
    return one.bottle("2025-06-05", (2, 50.0), first=2).id


def _a_bottle_that_never_was(one: OneJar) -> str:
    one.press()
    return one.then(Dispensed(about=one.extract(7), volume_ml=5.0), "2025-06-05").id


def _counted_before_the_pressing(one: OneJar) -> str:
    one.press("2025-06-03")
    return one.then(Counted(about=one.extract(), volume_ml=300.0), "2025-05-01").id


def _discarded_before_the_pressing(one: OneJar) -> str:
    one.press("2025-06-03")
    return one.then(Discarded(about=one.extract(), why="spilt"), "2025-05-01").id


def _pressed_before_the_charge(one: OneJar) -> str:
    return one.press("2025-02-01").id


IMPOSSIBLE = [
    _pressed_twice,
    _shaken_after_pressing,
    _topped_up_after_discard,
    _pressed_after_discard,
    _discarded_twice,
    _herb_discarded_after_pressing,
    _restored_though_never_gone,
    _bottled_from_nothing,
    _bottled_beyond_the_extract,
    _one_number_filled_twice,
    _a_bottle_that_never_was,
    _counted_before_the_pressing,
    _discarded_before_the_pressing,
    _pressed_before_the_charge,
]


@pytest.mark.parametrize("story", IMPOSSIBLE, ids=lambda story: story.__name__.strip("_"))
def test_what_cannot_be_is_kept_and_flagged_with_its_reason(story):
    one = OneJar.charged("2025-03-03")
    event = story(one)
    flags = one.now().flags

    assert [flag.event for flag in flags] == [event]
    assert len(flag_text(flags[0]).split()) > 2


def test_a_charge_with_an_unreadable_period_does_not_stop_the_shelf():
    """One bad line may cost one jar, never the others."""
    pen = Pen()
    bad = pen.write(a_charge(code="CAOF-25-01", least="a while"), "2025-03-03")
    good = pen.write(a_charge(code="CAOF-25-02"), "2025-03-03")
    shelf = replay(pen.entries)

    assert good.id in shelf.jars
    assert bad.id in {flag.event for flag in shelf.unplaced} | {
        flag.event for jar in shelf.batches for flag in jar.flags
    }


def test_a_very_long_row_of_events_that_wait_for_each_other_ends():
    one = OneJar.charged()
    one.press()
    for number in range(2000):
        later = f"{KITCHEN}-{number + 4:04d}"
        one.then(Restored(about=one.extract(), discard=later), "2025-06-04")

    assert len(one.now().flags) == 2000
