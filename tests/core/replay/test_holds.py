"""What keeps a thing from being given out: of which kind, what lifts it, and what inherits it."""

from datetime import date

import pytest

from tests.lives import OneJar, Pen, a_charge, spirit
from tracker.core.facts.amendments import Held, Released
from tracker.core.facts.extracts import Blended, Pressed, Refilled
from tracker.core.facts.fields import About, Portion
from tracker.core.facts.jars import (
    Found,
    Joined,
    LookedAt,
    Recharged,
    Split,
    SplitPart,
    SteepedAgain,
)
from tracker.core.facts.lots import BoughtHerb, Recalled
from tracker.core.practice.practice import Practice
from tracker.core.replay.replay import replay
from tracker.core.rules.checks.on_hold import may_release, not_held
from tracker.core.rules.reasons import OnHold
from tracker.core.rules.reminders import due
from tracker.core.shelf.thing import Thing, bottle_of, extract_of

MOULDY = ("mould",)


def seen(about: About, verdict: str) -> LookedAt:
    return LookedAt(about=about, verdict=verdict, signs=MOULDY)


def recalled(jar: str) -> tuple[Pen, About]:
    pen = Pen()
    herb = BoughtHerb(code="LOT-25-01", herb="Calendula officinalis", form="dried", herb_g=100.0)
    lot = pen.write(herb, "2025-03-01")
    charge = pen.write(a_charge(code=jar, herb_lot=lot.id), "2025-03-03")
    call = Recalled(about=About(jar=lot.id), jars=(charge.id,), why="pesticides")
    pen.write(call, "2025-03-05")
    return pen, About(jar=charge.id)


def test_each_hold_says_of_what_kind_it_is():
    by_word = OneJar.charged()
    by_word.then(Held(about=by_word.jar, why="cloudy"), "2025-03-05")
    by_look = OneJar.charged()
    by_look.then(seen(by_look.jar, "hold"), "2025-03-05")
    pen, jar = recalled("CAOF-25-01")
    unknown = Pen()
    found = unknown.write(Found(code="OLD", herb="Rosa canina", form="dried"), "2025-03-05")

    kinds = [
        by_word.now().hold.kind,
        by_look.now().hold.kind,
        replay(pen.entries).jars[jar.jar].hold.kind,
        replay(unknown.entries).jars[found.id].hold.kind,
    ]
    assert kinds == ["word", "look", "recall", "found"]


@pytest.mark.parametrize("verdict", ["fine", "watch"])
def test_a_later_look_lifts_what_a_look_held(verdict):
    one = OneJar.charged()
    one.then(seen(one.jar, "hold"), "2025-03-05")
    one.then(seen(one.jar, verdict), "2025-03-06")

    assert one.now().hold is None


@pytest.mark.parametrize("verdict", ["fine", "watch", "hold"])
def test_a_look_neither_lifts_nor_hides_a_graver_hold(verdict):
    one = OneJar.charged()
    one.then(Held(about=one.jar, why="cloudy"), "2025-03-05")
    one.then(seen(one.jar, verdict), "2025-03-06")
    pen, jar = recalled("CAOF-25-01")
    pen.write(seen(jar, verdict), "2025-03-06")
    pen.write(Held(about=jar, why="cloudy"), "2025-03-07")

    assert (one.now().hold.kind, one.now().hold.why) == ("word", "cloudy")
    assert replay(pen.entries).jars[jar.jar].hold.kind == "recall"


def test_a_release_lifts_whatever_held_it():
    pen, jar = recalled("CAOF-25-01")
    pen.write(seen(jar, "hold"), "2025-03-06")
    pen.write(Released(about=jar, why="tested"), "2025-03-07")

    assert replay(pen.entries).jars[jar.jar].hold is None


def test_what_a_look_held_is_due_and_held_after_the_pressing():
    """A jar's look-hold once disappeared with the herb."""
    one = OneJar.charged()
    one.then(seen(one.jar, "hold"), "2025-05-30")
    one.press("2025-06-03")
    jar = one.now()
    extract = extract_of(jar, jar.extracts[0])

    (line,) = due([jar], Practice(), date(2025, 6, 4))
    assert (line.code, line.what) == ("CAOF-25-01A", "safety")
    assert line.reasons == (OnHold("look", "mould", event=jar.hold.event),)
    assert line.since == date(2025, 5, 30)
    assert extract.hold == jar.hold
    (refused,) = not_held(extract)
    assert refused.what == "CAOF-25-01 is on hold, since 30 May 2025: mould"


def hold_by(kind: str, about: About) -> Held | LookedAt:
    return Held(about=about, why="cloudy") if kind == "word" else seen(about, "hold")


@pytest.mark.parametrize("kind", ["word", "look"])
def test_jars_split_off_and_jars_joined_inherit_a_hold(kind):
    one = OneJar.charged()
    one.then(hold_by(kind, one.jar), "2025-03-05")
    parts = (SplitPart(code="S1", share=0.5), SplitPart(code="S2", share=0.5))
    split = one.then(Split(about=one.jar, into=parts), "2025-03-06")
    other = one.then(a_charge(code="CAOF-25-02"), "2025-03-06")
    joined = one.then(
        Joined(code="ALL", parts=(other.id, f"{split.id}.1", f"{split.id}.2")), "2025-03-07"
    )
    shelf = replay(one.entries)

    assert shelf.jars[f"{split.id}.2"].hold.kind == kind
    assert shelf.jars[joined.id].hold.kind == kind


def two_extracts() -> tuple[Pen, About, About]:
    pen, abouts = Pen(), []
    for code in ("CAOF-25-01", "CAOF-25-02"):
        jar = About(jar=pen.write(a_charge(code=code), "2025-03-03").id)
        fact = Pressed(about=jar, letter="A", volume_ml=370.0, keeps="P12M")
        abouts.append(About(jar=jar.jar, extract=pen.write(fact, "2025-06-03").id))
    return pen, abouts[0], abouts[1]


@pytest.mark.parametrize("kind", ["word", "look"])
def test_a_blend_inherits_the_hold_of_a_part_or_of_its_jar(kind):
    for on_jar in (False, True):
        pen, held, free = two_extracts()
        pen.write(hold_by(kind, About(jar=held.jar) if on_jar else held), "2025-06-04")
        parts = (Portion(about=free, volume_ml=50.0), Portion(about=held, volume_ml=50.0))
        blend = pen.write(Blended(code="B", parts=parts), "2025-06-05")

        assert replay(pen.entries).blends[blend.id].hold.kind == kind


@pytest.mark.parametrize("kind", ["word", "look"])
def test_a_jar_recharged_with_a_held_extract_is_held(kind):
    one = OneJar.charged()
    one.press()
    one.then(hold_by(kind, one.extract()), "2025-06-04")
    herb = {"herb": "Calendula officinalis", "form": "dried", "herb_g": 50.0}
    one.then(Recharged(about=one.extract(), least="P14D", **herb), "2025-06-05")

    assert one.now().hold.kind == kind


def test_a_bottle_refilled_from_what_is_held_is_held_until_it_is_released():
    from tracker.core.facts.extracts import Bottled, BottleRun

    pen, held, free = two_extracts()
    run = BottleRun(size_ml=100.0, count=2, first=1)
    pen.write(Bottled(about=free, bottles=(run,)), "2025-06-04")
    pen.write(seen(held, "hold"), "2025-06-05")
    first = About(jar=free.jar, extract=free.extract, bottle=1)
    pen.write(Refilled(about=first, source=Portion(about=held, volume_ml=1.0)), "2025-06-06")

    def bottle(number: int) -> Thing:
        jar = replay(pen.entries).jars[free.jar]
        (extract,) = jar.extracts
        return bottle_of(jar, extract, extract.bottle(number))

    assert bottle(1).hold.kind == "look"
    assert not bottle(2).on_hold
    jar = replay(pen.entries).jars[free.jar]
    codes = {
        line.code
        for line in due([jar], Practice(), date(2025, 6, 7))
        if any(isinstance(one, OnHold) for one in line.reasons)
    }
    assert codes == {"CAOF-25-02A/1"}
    assert [one.rule for one in not_held(bottle(1))] == ["hold"]
    assert list(may_release(bottle(1))) == []
    pen.write(Released(about=first, why="clear"), "2025-06-08")
    assert not bottle(1).on_hold


def test_a_steep_that_goes_on_keeps_its_hold_until_a_look_says_fine():
    one = OneJar.charged()
    one.then(seen(one.jar, "hold"), "2025-05-30")
    one.press("2025-06-03")
    one.then(SteepedAgain(about=one.jar, pours=(spirit(300.0),), least="P14D"), "2025-06-04")

    assert one.now().hold.kind == "look"
    one.then(seen(one.jar, "fine"), "2025-06-05")
    assert one.now().hold is None
