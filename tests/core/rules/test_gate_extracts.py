"""What the gate says of extracts and bottles: worked on, filled, blended, given out, counted."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.core.house import House
from tests.core.rules.asking import misuses, said, verdict
from tests.hypothesis_profile import USUAL
from tests.lives import OneJar, at, jar_after, on, spirit
from tracker.core.facts.amendments import Held
from tracker.core.facts.extracts import (
    Blended,
    Bottled,
    BottleRun,
    Counted,
    Diluted,
    Discarded,
    Dispensed,
    Filtered,
    MadeUp,
    Pressed,
    Refilled,
    Restored,
    Settled,
)
from tracker.core.facts.fields import About, Portion

HOUSE = House()
JAR, LOT, HERB_LOT = HOUSE.steeping.jar, About(jar=HOUSE.spirit.id), About(jar=HOUSE.herb.id)
# Of 370 ml pressed two bottles of 50 ml were filled: 270 ml in bulk. Of the first bottle 30 ml
# were given out; of the other extract 20 ml were thrown out.
EXTRACT, BOTTLE, FULL = HOUSE.done.extract(), HOUSE.done.extract(1), HOUSE.done.extract(2)
OTHER = HOUSE.other.extract()


def filtered(about, ml=200.0, before_ml=None):
    return Filtered(about=about, volume_ml=ml, before_ml=before_ml)


def settled(about, ml=200.0, before_ml=None):
    return Settled(about=about, volume_ml=ml, before_ml=before_ml)


def made_up(about, to_ml=300.0, poured_ml=30.0):
    return MadeUp(about=about, pours=(spirit(poured_ml),), volume_ml=to_ml)


def diluted(about, to_ml=None, poured_ml=30.0):
    return Diluted(about=about, pours=(spirit(poured_ml),), volume_ml=to_ml)


def bottled(about, count=1, size_ml=50.0, first=3):
    return Bottled(about=about, bottles=(BottleRun(size_ml=size_ml, count=count, first=first),))


def dispensed(about, ml=None):
    return Dispensed(about=about, volume_ml=ml)


def counted(about, ml=10.0):
    return Counted(about=about, volume_ml=ml)


def discarded(about, ml=None, g=None):
    return Discarded(about=about, volume_ml=ml, herb_g=g, why="spilt")


def blended(*parts, ml=None):
    return Blended(
        code="NEW-1",
        parts=tuple(Portion(about=about, volume_ml=part_ml) for about, part_ml in parts),
        volume_ml=ml,
    )


def refilled(about=BOTTLE, source=OTHER, ml=20.0):
    return Refilled(about=about, source=Portion(about=source, volume_ml=ml))


def asked(fact, *earlier):
    house = House()
    for one in earlier:
        house.pen.write(one, "2025-06-09")
    return verdict(house.pen.entries, fact)


def refused(rule, code):
    return {(rule, code, "refusal")}


# Of what kind

IN_BULK = [filtered, settled, made_up, diluted, bottled]
NOT_IN_BULK = [(JAR, "ONE-1"), (BOTTLE, "DONE-1A/1"), (LOT, "SPIRIT-1")]


@pytest.mark.parametrize("work", IN_BULK, ids=lambda work: work.__name__)
@pytest.mark.parametrize(("about", "code"), NOT_IN_BULK, ids=["jar", "bottle", "lot"])
def test_only_an_extract_is_worked_on_as_an_extract(work, about, code):
    assert ("kind", code, "refusal") in said(asked(work(about)))


@pytest.mark.parametrize(
    ("work", "about", "code"),
    [(counted, JAR, "ONE-1"), (dispensed, LOT, "SPIRIT-1")],
    ids=["counted-jar", "dispensed-lot"],
)
def test_only_extracts_and_bottles_are_stock(work, about, code):
    assert said(asked(work(about))) == refused("kind", code)


def test_a_jar_is_given_out_whole_once_that_is_confirmed():
    assert said(asked(dispensed(JAR))) == {("whole", "ONE-1", "question")}


def test_an_extract_is_counted_in_millilitres_alone():
    for fact in (Counted(about=EXTRACT, herb_g=10.0), Counted(about=EXTRACT)):
        assert said(asked(fact)) == refused("kind", "DONE-1A")


@pytest.mark.parametrize("ml", [0.0, 5000.0])
def test_a_lot_is_counted_in_its_own_unit_down_to_nothing(ml):
    assert said(asked(counted(LOT, ml))) == set()
    assert said(asked(Counted(about=LOT, herb_g=1.0))) == refused("kind", "SPIRIT-1")
    assert said(asked(Counted(about=LOT, herb_g=1.0, volume_ml=1.0))) == refused("kind", "SPIRIT-1")


def test_more_of_a_lot_than_ever_came_in_is_asked_about():
    assert said(asked(counted(LOT, 5001.0))) == {("amount", "SPIRIT-1", "question")}


def test_a_lot_on_hold_may_be_counted():
    assert said(asked(counted(LOT, 10.0), Held(about=LOT, why="cloudy"))) == set()


@pytest.mark.parametrize(("about", "code"), [(JAR, "ONE-1"), (LOT, "SPIRIT-1")], ids=["jar", "lot"])
def test_only_extracts_and_bottles_are_blended_or_poured_from(about, code):
    blend = said(asked(blended((EXTRACT, 10.0), (about, 10.0))))
    refill = said(asked(refilled(source=about)))

    assert blend == refused("kind", code)
    assert refill == refused("kind", code)


@pytest.mark.parametrize(
    ("about", "code"), [(EXTRACT, "DONE-1A"), (JAR, "ONE-1"), (LOT, "SPIRIT-1")]
)
def test_only_a_bottle_is_refilled(about, code):
    assert said(asked(refilled(about))) == refused("kind", code)


def test_a_bottle_is_not_refilled_from_itself():
    assert said(asked(refilled(source=BOTTLE))) == refused("kind", "DONE-1A/1")


# Amounts

MORE = [
    (filtered(EXTRACT, 270.0), set()),
    (filtered(EXTRACT, 270.1), refused("amount", "DONE-1A")),
    (filtered(EXTRACT, 250.0, before_ml=200.0), refused("amount", "DONE-1A")),
    (settled(EXTRACT, 270.0), set()),
    (settled(EXTRACT, 271.0), refused("amount", "DONE-1A")),
    (settled(EXTRACT, 250.0, before_ml=200.0), refused("amount", "DONE-1A")),
    (bottled(EXTRACT, 5, 54.0), set()),
    (bottled(EXTRACT, 6, 50.0), refused("amount", "DONE-1A")),
    (bottled(EXTRACT, first=2), refused("code", "DONE-1A")),
    (dispensed(EXTRACT, 270.0), set()),
    (dispensed(EXTRACT, 271.0), refused("amount", "DONE-1A")),
    (dispensed(BOTTLE, 20.0), set()),
    (dispensed(BOTTLE, 21.0), refused("amount", "DONE-1A/1")),
    (dispensed(BOTTLE), set()),
    (discarded(EXTRACT), set()),
    (discarded(EXTRACT, 270.0), set()),
    (discarded(EXTRACT, 271.0), refused("amount", "DONE-1A")),
    (discarded(BOTTLE, 21.0), refused("amount", "DONE-1A/1")),
    (discarded(LOT, 5000.0), set()),
    (discarded(LOT, 5001.0), refused("amount", "SPIRIT-1")),
    (discarded(HERB_LOT, g=500.0), set()),
    (discarded(HERB_LOT, g=501.0), refused("amount", "HERB-1")),
    (refilled(ml=30.0), set()),
    (refilled(ml=31.0), refused("amount", "DONE-1A/1")),
    (refilled(FULL, ml=1.0), refused("amount", "DONE-1A/2")),
    (refilled(source=FULL, ml=30.0), set()),
    (blended((EXTRACT, 270.0), (BOTTLE, 20.0)), set()),
    (blended((EXTRACT, 271.0), (OTHER, 10.0)), refused("amount", "DONE-1A")),
    (counted(BOTTLE, 50.0), set()),
    (counted(BOTTLE, 51.0), refused("amount", "DONE-1A/1")),
    (counted(EXTRACT, 0.0), set()),
    (counted(EXTRACT, 370.0), set()),
]


@pytest.mark.parametrize(("fact", "expected"), MORE, ids=range(len(MORE)))
def test_nothing_takes_more_than_there_is(fact, expected):
    assert said(asked(fact)) == expected


def test_the_refusal_names_both_amounts_and_the_way_to_restate_the_book():
    (finding,) = asked(bottled(EXTRACT, 6, 50.0)).refusals

    assert "300 ml" in finding.what
    assert "270 ml" in finding.what
    assert "count" in finding.do


@pytest.mark.parametrize(
    "work", [dispensed, discarded, lambda about: blended((about, 1.0), (EXTRACT, 1.0))]
)
def test_nothing_is_taken_out_of_nothing(work):
    assert said(asked(work(BOTTLE), dispensed(BOTTLE))) == refused("empty", "DONE-1A/1")


def test_a_bottle_is_not_refilled_from_what_is_empty():
    assert said(asked(refilled(source=OTHER), discarded(OTHER))) == refused("empty", "OTHER-1A")


def test_a_lot_that_is_used_up_is_not_discarded_again():
    assert said(asked(discarded(LOT), discarded(LOT))) == refused("amount", "SPIRIT-1")


# Spirit and water take at most 4 % less room together than apart (OIML R 22, about equal parts);
# the rest of the band is for two readings of a measure.
MIXES = [
    (made_up(EXTRACT, to_ml=300.0), set()),
    (made_up(EXTRACT, to_ml=288.0), set()),
    (made_up(EXTRACT, to_ml=269.0), refused("amount", "DONE-1A")),
    (made_up(EXTRACT, to_ml=320.0), refused("amount", "DONE-1A")),
    (made_up(EXTRACT, to_ml=271.0, poured_ml=200.0), refused("amount", "DONE-1A")),
    (diluted(EXTRACT), set()),
    (diluted(EXTRACT, to_ml=290.0), set()),
    (diluted(EXTRACT, to_ml=240.0), refused("amount", "DONE-1A")),
    (diluted(EXTRACT, to_ml=320.0), refused("amount", "DONE-1A")),
    (blended((EXTRACT, 100.0), (OTHER, 100.0), ml=192.0), set()),
    (blended((EXTRACT, 100.0), (OTHER, 100.0), ml=150.0), refused("amount", "NEW-1")),
    (blended((EXTRACT, 100.0), (OTHER, 100.0), ml=220.0), refused("amount", "NEW-1")),
]


@pytest.mark.parametrize(("fact", "expected"), MIXES, ids=range(len(MIXES)))
def test_what_is_put_together_comes_to_about_the_sum(fact, expected):
    assert said(asked(fact)) == expected


@pytest.mark.parametrize(
    "parts", [((EXTRACT, 5.0), (EXTRACT, 5.0)), ((EXTRACT, 5.0), (OTHER, 5.0), (EXTRACT, 5.0))]
)
def test_an_extract_is_blended_with_others(parts):
    found = asked(blended(*parts))

    assert said(found) == refused("amount", "the parts")
    assert misuses(found) == {True}


def test_two_runs_of_bottles_share_no_number():
    runs = (BottleRun(size_ml=10.0, count=3, first=3), BottleRun(size_ml=10.0, count=1, first=5))
    found = asked(Bottled(about=EXTRACT, bottles=runs))

    assert said(found) == refused("code", "DONE-1A")
    assert "bottle 5" in found.refusals[0].what


# Questions


def test_giving_out_all_of_an_extract_unasked_is_a_question():
    found = asked(dispensed(EXTRACT))

    assert said(found) == {("whole", "DONE-1A", "question")}
    assert "270 ml" in found.questions[0].what


def test_giving_out_all_of_nothing_is_refused_and_not_asked_about():
    assert said(asked(dispensed(EXTRACT), discarded(EXTRACT))) == refused("empty", "DONE-1A")


def test_a_count_of_more_than_ever_went_in_is_a_question():
    assert said(asked(counted(EXTRACT, 371.0))) == {("amount", "DONE-1A", "question")}


@pytest.mark.parametrize("poured", [made_up(EXTRACT), diluted(EXTRACT)], ids=["made up", "diluted"])
def test_what_was_poured_in_may_be_counted(poured):
    assert asked(counted(EXTRACT, 400.0), poured).findings == ()
    assert said(asked(counted(EXTRACT, 401.0), poured)) == {("amount", "DONE-1A", "question")}


# Back-dated


def test_what_is_told_late_is_held_against_what_there_was_then():
    house = House()
    house.pen.write(dispensed(EXTRACT, 200.0), "2025-06-09")

    assert verdict(house.pen.entries, dispensed(EXTRACT, 250.0), "2025-06-08").findings == ()
    assert said(verdict(house.pen.entries, dispensed(EXTRACT, 250.0))) == refused(
        "amount", "DONE-1A"
    )
    # Before the bottles were filled all 370 ml were there.
    assert verdict(house.pen.entries, settled(EXTRACT, 370.0), "2025-06-03").findings == ()
    assert said(verdict(house.pen.entries, settled(EXTRACT, 371.0), "2025-06-03")) == refused(
        "amount", "DONE-1A"
    )


# Restored


def test_what_was_discarded_of_an_extract_is_restored_once():
    back = Restored(about=OTHER, discard=HOUSE.thrown.id)

    assert asked(back).findings == ()
    assert said(asked(back, back)) == refused("ended", "OTHER-1A")


def test_what_was_discarded_of_one_extract_is_not_restored_to_another():
    back = Restored(about=EXTRACT, discard=HOUSE.thrown.id)

    assert said(asked(back)) == refused("ended", "DONE-1A")


# Stricter than the replay

ML = st.floats(0.1, 520.0)
KINDS = (filtered, settled, dispensed, counted, discarded, diluted, made_up)


@USUAL
@given(st.data())
def test_whatever_is_admitted_replays_without_a_flag(data):
    """The gate is the stricter of the two: what it lets through never looks odd later."""
    one = OneJar.charged("2025-03-03")
    press = Pressed(about=one.jar, letter="A", volume_ml=data.draw(ML), keeps="P12M")
    if verdict(one.entries, press, "2025-06-03").findings:
        return
    one.pressing = one.then(press, "2025-06-03")
    for _ in range(data.draw(st.integers(1, 8))):
        work = data.draw(st.sampled_from(KINDS))
        about = one.extract(data.draw(st.sampled_from([None, None, 1, 2])))
        fact = work(about, data.draw(ML))
        if data.draw(st.integers(0, 3)) == 0:
            fact = bottled(one.extract(), 1, data.draw(ML), first=data.draw(st.integers(1, 3)))
        day = data.draw(st.integers(1, 9))
        when = (
            at(f"2025-06-{day:02d}T12:00+01:00")
            if data.draw(st.booleans())
            else on(f"2025-06-{day:02d}")
        )
        if not verdict(one.entries, fact, when).findings:
            last = max(entry.when.start for entry in one.entries)
            if when.start >= last:  # what no longer fits later is the record path's to ask about
                one.then(fact, when)

    assert jar_after(one.entries, one.charge.id).flags == []
