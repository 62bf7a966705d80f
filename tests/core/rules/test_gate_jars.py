"""What the gate says of work on jars: opened, worked on, shared out, pressed, thrown out."""

import pytest

from tests.core.house import HERB, House
from tests.core.rules.asking import misuses, said, verdict
from tests.lives import OneJar, a_charge, spirit
from tracker.core.facts.extracts import Discarded, Pressed, Restored
from tracker.core.facts.fields import About
from tracker.core.facts.jars import (
    DrawnOff,
    HerbAdded,
    Joined,
    Recharged,
    Shaken,
    Split,
    SplitPart,
    SteepedAgain,
    ToppedUp,
)
from tracker.core.reckoning import amounts

HOUSE = House()
JAR, EXTRACT, BOTTLE = HOUSE.steeping.jar, HOUSE.done.extract(), HOUSE.done.extract(bottle=1)
PRESSED, LOT = HOUSE.done.jar, About(jar=HOUSE.spirit.id)


def topped_up(about):
    return ToppedUp(about=about, pours=(spirit(20.0),))


def herb_added(about):
    return HerbAdded(about=about, **HERB)


def drawn_off(about, letter="A", ml=50.0):
    return DrawnOff(about=about, letter=letter, volume_ml=ml, keeps="P12M")


def pressed(about, letter="A", ml=100.0):
    return Pressed(about=about, letter=letter, volume_ml=ml, keeps="P12M")


def steeped_again(about):
    return SteepedAgain(about=about, pours=(spirit(),), least="P28D")


def split(about, *shares):
    into = tuple(SplitPart(code=f"NEW-{place}", share=share) for place, share in enumerate(shares))
    return Split(about=about, into=into)


def halved(about):
    return split(about, 0.5, 0.5)


def joined(*abouts):
    return Joined(code="NEW-1", parts=tuple(about.jar for about in abouts))


def joined_to_another(about):
    return joined(about, HOUSE.second.jar)


def shaken(about):
    return Shaken(jars=(about.jar,))


def discarded(about, ml=None):
    return Discarded(about=about, volume_ml=ml, why="mould")


def recharged(about, ml=None, **rest):
    return Recharged(about=about, volume_ml=ml, **HERB, **{"least": "P28D"} | rest)


WITH_HERB_IN = [topped_up, herb_added, drawn_off, pressed]  # only done to a jar that macerates
WHOLE = [halved, joined_to_another, shaken]  # the same, and named by nothing but the jar
OF_A_JAR = pytest.mark.parametrize(
    "work", [*WITH_HERB_IN, steeped_again, halved], ids=lambda work: work.__name__
)
ON_HERB = pytest.mark.parametrize("work", [*WITH_HERB_IN, *WHOLE], ids=lambda work: work.__name__)


def asked(fact, when="2025-06-10"):
    return verdict(HOUSE.pen.entries, fact, when)


# Of what kind


@OF_A_JAR
@pytest.mark.parametrize(
    ("about", "code"),
    [(EXTRACT, "DONE-1A"), (BOTTLE, "DONE-1A/1"), (LOT, "SPIRIT-1")],
    ids=["extract", "bottle", "lot"],
)
def test_only_a_jar_is_worked_on_as_a_jar(work, about, code):
    first = asked(work(about)).refusals[0]  # the one that is said

    assert (first.rule, first.code) == ("kind", code)


@pytest.mark.parametrize("work", WHOLE, ids=lambda work: work.__name__)
def test_a_lot_is_no_jar(work):
    assert said(asked(work(LOT))) == {("kind", "SPIRIT-1", "refusal")}


@pytest.mark.parametrize(
    ("about", "code"),
    [(JAR, "ONE-1"), (PRESSED, "DONE-1"), (BOTTLE, "DONE-1A/1"), (LOT, "SPIRIT-1")],
)
def test_only_an_extract_is_recharged(about, code):
    assert ("kind", code, "refusal") in said(asked(recharged(about)))


# Ended


ENDINGS = {
    "pressed": pressed,
    "split": halved,
    "joined": joined_to_another,
    "discarded": discarded,
}


@ON_HERB
@pytest.mark.parametrize("how", ENDINGS)
def test_a_jar_that_ended_takes_nothing_more_even_on_its_last_day(work, how):
    house = House()
    house.pen.write(ENDINGS[how](JAR), "2025-06-10")
    found = verdict(house.pen.entries, work(JAR))
    ended = [one for one in found.refusals if one.rule == "ended"]

    assert ended[0].code == "ONE-1"
    assert how in ended[0].what
    assert "10 Jun 2025" in ended[0].what
    assert {one.rule for one in found.findings} <= {"ended", "code"}


@ON_HERB
def test_before_the_day_it_ended_a_jar_is_worked_on(work):
    house = House()
    house.pen.write(pressed(JAR), "2025-06-12")
    ends_it = work in (halved, joined_to_another, pressed, drawn_off)

    rules = {one.rule for one in verdict(house.pen.entries, work(JAR), "2025-06-11").findings}
    assert rules <= ({"code"} if ends_it else set())


def test_a_jar_that_is_split_in_part_goes_on():
    house = House()
    house.pen.write(split(JAR, 0.25), "2025-06-10")

    assert verdict(house.pen.entries, pressed(JAR)).findings == ()


@pytest.mark.parametrize("work", [steeped_again], ids=["steeped again"])
def test_a_jar_steeps_again_only_when_it_was_pressed(work):
    assert said(asked(work(JAR))) == {("ended", "ONE-1", "refusal")}
    assert "press" in asked(work(JAR)).refusals[0].do


@pytest.mark.parametrize("how", ["split", "joined", "discarded"])
def test_a_jar_that_ended_otherwise_is_not_steeped_again(how):
    house = House()
    house.pen.write(ENDINGS[how](JAR), "2025-06-10")

    assert {one.rule for one in verdict(house.pen.entries, steeped_again(JAR)).refusals} == {
        "ended"
    }


def test_a_jar_with_new_herb_in_is_not_recharged_again():
    house = House()
    house.pen.write(recharged(EXTRACT, 50.0), "2025-06-10")

    assert said(verdict(house.pen.entries, recharged(EXTRACT, 50.0))) == {
        ("ended", "DONE-1", "refusal")
    }


def test_the_refusal_of_work_on_a_discarded_jar_says_how_to_restore_it():
    house = House()
    house.pen.write(discarded(JAR), "2025-06-10")

    assert "restore ONE-1" in verdict(house.pen.entries, shaken(JAR)).refusals[0].do


# Amounts


@pytest.mark.parametrize(("ml", "is_refused"), [(500.0, False), (500.04, False), (501.0, True)])
def test_no_more_is_drawn_off_than_was_poured_on(ml, is_refused):
    """500 ml were poured on; a drop of slack."""
    expected = {("amount", "ONE-1", "refusal")} if is_refused else set()

    assert said(asked(drawn_off(JAR, ml=ml))) == expected


def test_a_pressing_up_to_all_that_went_in_is_allowed_and_a_drop_of_slack():
    one = OneJar.charged(herb_water_pct_mass=10.0)
    bound_ml = amounts.hard_bound_ml(one.now())
    for ml in (0.1, 370.0, 500.0, bound_ml, bound_ml + 0.04):
        assert verdict(one.entries, pressed(one.jar, ml=ml)).findings == ()
    refused = verdict(one.entries, pressed(one.jar, ml=bound_ml + 1))

    assert 510 < bound_ml < 520  # 500 ml, and 10 g of water in 100 g of herb
    assert said(refused) == {("amount", "CAOF-25-01", "refusal")}
    assert "oz" in refused.refusals[0].do


@pytest.mark.parametrize(("ml", "is_refused"), [(842.8, False), (1035.1, True)])
def test_35_fl_oz_out_of_24_poured_on_12_oz_fresh_herb_is_refused_and_28_is_not(ml, is_refused):
    """More than was poured may come out of a fresh herb, never more than went in."""
    one = OneJar.charged(
        form="fresh", herb_g=340.2, herb_water_pct_mass=75.0, pours=(spirit(768.9, 95.0),)
    )
    expected = {("amount", "CAOF-25-01", "refusal")} if is_refused else set()

    assert said(verdict(one.entries, pressed(one.jar, ml=ml))) == expected


def test_a_jar_of_unknown_weight_has_no_bound():
    one = OneJar.charged(herb_g=None)

    assert verdict(one.entries, pressed(one.jar, ml=5000.0)).findings == ()


@pytest.mark.parametrize("work", [drawn_off, pressed], ids=["drawn off", "pressed"])
def test_a_letter_is_given_once(work):
    house = House()
    house.pen.write(drawn_off(JAR), "2025-06-08")
    found = verdict(house.pen.entries, work(JAR))

    assert said(found) == {("code", "ONE-1A", "refusal")}
    assert verdict(house.pen.entries, work(JAR, "B")).findings == ()


@pytest.mark.parametrize(
    ("shares", "is_refused"),
    [((0.5, 0.5), False), ((1.0,), False), ((0.1,) * 10, False), ((0.6, 0.6), True)],
    ids=["halves", "all", "tenths", "more"],
)
def test_a_jar_is_shared_out_once(shares, is_refused):
    expected = {("amount", "NEW-0", "refusal")} if is_refused else set()

    assert said(asked(split(JAR, *shares))) == expected


def test_the_jars_of_a_split_have_codes_of_their_own():
    into = tuple(SplitPart(code=code, share=0.5) for code in ("NEW-1", "new-1"))

    assert said(asked(Split(about=JAR, into=into))) == {("code", "new-1", "refusal")}


@pytest.mark.parametrize("parts", [(JAR, JAR), (JAR, HOUSE.second.jar, JAR)], ids=["one", "twice"])
def test_jars_are_joined_with_others(parts):
    found = asked(joined(*parts))

    assert said(found) == {("amount", "the parts", "refusal")}
    assert misuses(found) == {True}


@pytest.mark.parametrize(
    ("ml", "expected"),
    [
        (None, set()),
        (270.0, set()),  # of 370 ml pressed two bottles of 50 ml were filled
        (271.0, {("amount", "DONE-1A", "refusal")}),
    ],
)
def test_no_more_is_recharged_than_there_is(ml, expected):
    assert said(asked(recharged(EXTRACT, ml))) == expected


def test_nothing_is_recharged_from_what_is_empty():
    house = House()
    house.pen.write(discarded(EXTRACT), "2025-06-09")

    assert said(verdict(house.pen.entries, recharged(EXTRACT))) == {("empty", "DONE-1A", "refusal")}


@pytest.mark.parametrize(
    "fact",
    [
        a_charge(code="NEW-1", least="P3M", longest="P2M"),
        recharged(EXTRACT, least="P28D", longest="P3W"),
        SteepedAgain(about=PRESSED, pours=(spirit(),), least="P28D", longest="P27D"),
    ],
    ids=lambda fact: fact.kind,
)
def test_the_longest_time_is_not_over_before_the_shortest(fact):
    found = asked(fact)

    assert said(found) == {("fit", "--least and --longest", "refusal")}
    assert misuses(found) == {True}


# Thrown out


def test_a_jar_is_discarded_whole():
    assert asked(discarded(JAR)).findings == ()
    assert said(asked(discarded(JAR, 100.0))) == {("whole", "ONE-1", "refusal")}


def test_of_a_pressed_jar_its_extract_is_discarded():
    found = asked(discarded(PRESSED))

    assert said(found) == {("ended", "DONE-1", "refusal")}
    assert "DONE-1A" in found.refusals[0].do


@pytest.mark.parametrize("how", ["split", "joined"])
def test_of_a_jar_that_was_shared_out_what_became_of_it_is_discarded(how):
    house = House()
    house.pen.write(ENDINGS[how](JAR), "2025-06-09")
    found = verdict(house.pen.entries, discarded(JAR))

    assert said(found) == {("ended", "ONE-1", "refusal")}
    assert how in found.refusals[0].what


def test_a_jar_is_discarded_once():
    house = House()
    house.pen.write(discarded(JAR), "2025-06-09")

    assert {one.rule for one in verdict(house.pen.entries, discarded(JAR)).refusals} == {"ended"}


def test_only_what_was_discarded_is_restored_and_once():
    house = House()
    never = verdict(house.pen.entries, Restored(about=JAR, discard="nothing-0000"))
    gone = house.pen.write(discarded(JAR), "2025-06-09")
    back = Restored(about=JAR, discard=gone.id)
    once = verdict(house.pen.entries, back)
    house.pen.write(back, "2025-06-09")
    twice = verdict(house.pen.entries, back)

    assert said(never) == {("ended", "ONE-1", "refusal")}
    assert once.findings == ()
    assert said(twice) == {("ended", "ONE-1", "refusal")}
