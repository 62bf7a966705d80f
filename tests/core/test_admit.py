"""What may be recorded next: each refusal says what is wrong and what to do."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.hypothesis_profile import USUAL
from tests.lives import OneJar, at, jar_after, on, spirit
from tracker.core.facts.extracts import (
    Bottled,
    BottleRun,
    Counted,
    Discarded,
    Dispensed,
    Filtered,
    Pressed,
)
from tracker.core.facts.jars import LookedAt
from tracker.core.reckoning import amounts
from tracker.core.rules import refusals
from tracker.core.shelf.thing import Thing, things
from tracker.core.values.errors import RefusedError
from tracker.core.values.times import When

NOW = datetime(2025, 6, 15, 8, 30, tzinfo=UTC)


def thing(one: OneJar, code: str) -> Thing:
    """What a code names in a jar's present state."""
    return next(found for found in things(one.now()) if found.code == code)


def pressed(ml: float = 370.0) -> OneJar:
    """Charged 3 March, pressed 3 June 2025, two bottles of 50 ml."""
    one = OneJar.charged("2025-03-03")
    one.press("2025-06-03", ml=ml)
    one.bottle("2025-06-04", (2, 50.0))
    return one


def refusal(check: object, *arguments: object) -> RefusedError:
    """The refusal, which always says what to do next."""
    with pytest.raises(RefusedError) as refused:
        check(*arguments)
    assert refused.value.do
    assert "nothing was recorded" in refused.value.where
    return refused.value


# When


@pytest.mark.parametrize(
    "when",
    [
        When(NOW),
        When(NOW + timedelta(minutes=4)),  # clocks of two machines differ by a little
        When(NOW + timedelta(days=900), "unknown"),
        on("2025-06-15"),
        on("2025-06-01", "month"),
        on("2025-01-01", "year"),
        on("1995-01-01", "year"),
    ],
)
def test_what_has_begun_may_be_recorded(when):
    refusals.happened("CAOF-25-01", when, NOW)


@pytest.mark.parametrize(
    "when",
    [
        When(NOW + timedelta(minutes=6)),
        on("2025-06-16"),
        on("2025-07-01", "month"),
        on("2025-09-01", "season"),
        on("2026-01-01", "year"),
    ],
)
def test_what_has_not_come_yet_is_refused(when):
    assert "future" in refusal(refusals.happened, "CAOF-25-01", when, NOW).what


# The herb


def test_a_jar_may_be_worked_on_until_the_day_it_is_pressed():
    one = pressed()
    jar = thing(one, "CAOF-25-01")
    for when in (on("2025-06-03"), on("2025-05-01"), on("2025-06-01", "month")):
        refusals.work_on_herb(jar, when, "shaken")

    assert "2025-06-03" in refusal(refusals.work_on_herb, jar, on("2025-06-04"), "shaken").what


def test_a_discarded_jar_is_worked_on_no_more():
    one = OneJar.charged()
    one.then(Discarded(about=one.jar, why="mould"), "2025-04-01")
    refused = refusal(refusals.work_on_herb, thing(one, "CAOF-25-01"), on("2025-04-02"), "shaken")

    assert "restore" in refused.do


@pytest.mark.parametrize("code", ["CAOF-25-01A", "CAOF-25-01A/1"])
def test_only_a_jar_is_shaken_or_pressed(code):
    one = pressed()
    refused = refusal(refusals.work_on_herb, thing(one, code), on("2025-05-01"), "shaken")

    assert "CAOF-25-01." in refused.do


def a_pressing(one: OneJar, ml: float) -> Pressed:
    """A pressing of so much."""
    return Pressed(about=one.jar, letter="A", volume_ml=ml, keeps="P12M")


def test_a_pressing_up_to_all_that_went_in_is_allowed_and_a_drop_of_slack():
    one = OneJar.charged(herb_water_pct_mass=10.0)
    jar = thing(one, "CAOF-25-01")
    bound_ml = amounts.hard_bound_ml(jar.jar)
    for ml in (0.1, 370.0, 500.0, bound_ml, bound_ml + 0.04):
        refusals.press(jar, a_pressing(one, ml))

    refused = refusal(refusals.press, jar, a_pressing(one, bound_ml + 1))
    assert "more than ever went in" in refused.what
    assert "oz" in refused.do


def test_35_fl_oz_out_of_24_poured_on_12_oz_fresh_herb_is_refused_and_28_is_not():
    """More than was poured may come out of a fresh herb, never more than went in."""
    one = OneJar.charged(
        form="fresh", herb_g=340.2, herb_water_pct_mass=75.0, pours=(spirit(768.9, 95.0),)
    )
    jar = thing(one, "CAOF-25-01")

    refusals.press(jar, a_pressing(one, 842.8))
    refusal(refusals.press, jar, a_pressing(one, 1035.1))


def test_a_jar_of_unknown_weight_has_no_bound():
    one = OneJar.charged(herb_g=None)

    refusals.press(thing(one, "CAOF-25-01"), a_pressing(one, 5000.0))


def test_one_steep_is_pressed_once():
    one = pressed()
    refused = refusal(refusals.press, thing(one, "CAOF-25-01"), a_pressing(one, 100.0))

    assert "370 ml" in refused.what
    assert "history" in refused.do


def test_a_discarded_jar_is_not_pressed():
    one = OneJar.charged()
    one.then(Discarded(about=one.jar, why="mould"), "2025-04-01")

    refusal(refusals.press, thing(one, "CAOF-25-01"), a_pressing(one, 100.0))


# The extract


def test_a_jars_code_stands_for_its_only_extract():
    one = pressed()

    assert refusals.must_be_extract(thing(one, "CAOF-25-01"), "filtered").id == one.pressing.id
    assert refusals.must_be_extract(thing(one, "CAOF-25-01A"), "filtered").id == one.pressing.id


def test_before_the_pressing_there_is_no_extract():
    jar = thing(OneJar.charged(), "CAOF-25-01")

    assert "press" in refusal(refusals.must_be_extract, jar, "filtered").do


def test_a_bottle_is_no_extract():
    bottle = thing(pressed(), "CAOF-25-01A/1")

    assert "CAOF-25-01A." in refusal(refusals.must_be_extract, bottle, "filtered").do


def test_no_more_comes_out_of_a_filter_than_went_in():
    one = pressed()
    extract = thing(one, "CAOF-25-01A")
    refusals.filter_(extract, Filtered(about=one.extract(), volume_ml=270.0))
    refusals.filter_(extract, Filtered(about=one.extract(), volume_ml=280.0, before_ml=290.0))

    refusal(refusals.filter_, extract, Filtered(about=one.extract(), volume_ml=270.1))
    refusal(
        refusals.filter_,
        extract,
        Filtered(about=one.extract(), volume_ml=250.0, before_ml=200.0),
    )


def test_no_more_is_bottled_than_there_is():
    one = pressed()
    extract = thing(one, "CAOF-25-01A")

    def run(count: int, ml: float) -> Bottled:
        size = BottleRun(size_ml=ml, count=count, first=3)
        return Bottled(about=one.extract(), bottles=(size,))

    refusals.bottle(extract, run(5, 54.0))
    refused = refusal(refusals.bottle, extract, run(6, 50.0))
    assert "300.0 ml" in refused.what
    assert "270.0 ml" in refused.what


def test_no_more_is_given_out_than_there_is():
    one = pressed()
    for code, ml in (("CAOF-25-01A", 270.0), ("CAOF-25-01A/1", 50.0), ("CAOF-25-01", 270.0)):
        refusals.dispense(thing(one, code), Dispensed(about=one.extract(), volume_ml=ml))
        refusals.dispense(thing(one, code), Dispensed(about=one.extract()))
        more = Dispensed(about=one.extract(), volume_ml=ml + 1)
        assert "count" in refusal(refusals.dispense, thing(one, code), more).do


def test_nothing_is_taken_out_of_nothing():
    one = pressed()
    one.then(Dispensed(about=one.extract(1)), "2025-06-10")
    empty = thing(one, "CAOF-25-01A/1")

    assert "nothing left" in refusal(refusals.dispense, empty, Dispensed(about=one.extract(1))).what
    refusal(refusals.discard, empty, Discarded(about=one.extract(1), why="cracked"))


@pytest.mark.parametrize("held", ["jar", "extract"])
@pytest.mark.parametrize("code", ["CAOF-25-01A", "CAOF-25-01A/1"])
def test_nothing_on_hold_is_given_out(held, code):
    one = pressed()
    about = one.jar if held == "jar" else one.extract()
    one.then(LookedAt(about=about, verdict="hold"), "2025-06-10")
    refused = refusal(refusals.dispense, thing(one, code), Dispensed(about=one.extract()))

    assert "on hold since 2025-06-10" in refused.what
    # What the refusal says to do must lift it.
    named = refused.do.split("look ", 2)[-1].split()[0].rstrip(".")
    look_at = thing(one, named)
    about = one.extract() if look_at.extract else one.jar
    one.then(LookedAt(about=about, verdict="fine"), "2025-06-11")
    refusals.dispense(thing(one, code), Dispensed(about=one.extract()))


def test_a_jar_is_discarded_whole_and_before_it_is_pressed():
    one = OneJar.charged()
    jar = thing(one, "CAOF-25-01")
    refusals.discard(jar, Discarded(about=one.jar, why="mould"))
    refusal(refusals.discard, jar, Discarded(about=one.jar, volume_ml=100.0, why="mould"))

    later = pressed()
    refused = refusal(
        refusals.discard, thing(later, "CAOF-25-01"), Discarded(about=later.jar, why="mould")
    )
    assert "CAOF-25-01A" in refused.do


def test_a_jar_is_discarded_once():
    one = OneJar.charged()
    one.then(Discarded(about=one.jar, why="mould"), "2025-04-01")

    refusal(refusals.discard, thing(one, "CAOF-25-01"), Discarded(about=one.jar, why="mould"))


def test_part_or_all_of_a_extract_or_bottle_may_be_discarded():
    one = pressed()
    for code in ("CAOF-25-01A", "CAOF-25-01A/1"):
        for ml in (None, 10.0, 50.0):
            fact = Discarded(about=one.extract(), volume_ml=ml, why="spilt")
            refusals.discard(thing(one, code), fact)


@pytest.mark.parametrize(
    ("code", "most"), [("CAOF-25-01A", 370.0), ("CAOF-25-01", 370.0), ("CAOF-25-01A/1", 50.0)]
)
def test_a_count_cannot_find_more_than_there_ever_was(code, most):
    one = pressed()
    for ml in (0.0, 1.0, most):
        refusals.count(thing(one, code), Counted(about=one.extract(), volume_ml=ml))

    refusal(refusals.count, thing(one, code), Counted(about=one.extract(), volume_ml=most + 1))


@USUAL
@given(st.data())
def test_whatever_is_admitted_replays_without_a_flag(data):
    """The gate is the stricter of the two: what it lets through never looks odd later."""
    one = OneJar.charged("2025-03-03")
    ml = st.floats(0.1, 520.0)
    press = a_pressing(one, data.draw(ml))
    try:
        refusals.press(thing(one, "CAOF-25-01"), press)
        one.pressing = one.then(press, "2025-06-03")
    except RefusedError:
        return
    checks = (
        (Filtered, refusals.filter_), (Dispensed, refusals.dispense), (Counted, refusals.count),
        (Discarded, refusals.discard),
    )  # fmt: skip
    for day in range(4, 4 + data.draw(st.integers(1, 6))):
        kind, check = data.draw(st.sampled_from(checks))
        why = {"why": "spilt"} if kind is Discarded else {}
        fact = kind(about=one.extract(), volume_ml=data.draw(ml), **why)
        try:
            check(thing(one, "CAOF-25-01A"), fact)
        except RefusedError:
            continue
        one.then(fact, at(f"2025-06-{day:02d}T12:00+01:00"))

    assert jar_after(one.entries, one.charge.id).flags == []
