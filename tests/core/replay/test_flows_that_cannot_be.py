"""Flows that cannot be: replay keeps them, says so, and makes nothing out of nothing."""

import pytest

from tests.lives import OneJar, Pen, a_charge, spirit
from tracker.core.facts.extracts import Blended, Diluted, MadeUp, Pressed, Refilled
from tracker.core.facts.fields import About, Portion, Pour
from tracker.core.facts.jars import Recharged, ToppedUp
from tracker.core.facts.lots import Bought
from tracker.core.reckoning.amounts import simple_strength_pct_vol
from tracker.core.reckoning.flows.lot_balance import overdrawn
from tracker.core.reckoning.strength import strength_pct_vol
from tracker.core.replay.replay import replay
from tracker.outputs.words.flags import flag_text


def test_a_bottle_filled_from_itself_holds_what_it_held():
    life = OneJar.charged()
    life.press(ml=370)
    life.bottle("2025-06-04", (1, 100.0))
    bottle = life.extract(bottle=1)
    life.then(Refilled(about=bottle, source=Portion(about=bottle, volume_ml=40)), "2025-06-05")
    extract = life.now().extracts[0]

    assert [flag_text(one) for one in life.now().flags] == ["refilled from itself"]
    assert extract.bottles[0].volume_ml == pytest.approx(100)
    assert (extract.added_ml, extract.passed_on_ml) == (0, 0)


@pytest.mark.parametrize("kind", [Diluted, MadeUp])
def test_an_extract_poured_into_itself_holds_what_it_held(kind):
    life = OneJar.charged()
    life.press(ml=370)
    pour = Pour(liquid="extract", volume_ml=40, of=life.extract())
    to = {"volume_ml": 400.0} if kind is MadeUp else {}
    life.then(kind(about=life.extract(), pours=(pour,), **to), "2025-06-05")
    extract = life.now().extracts[0]

    assert [flag_text(one) for one in life.now().flags] == [
        f"{'made up' if kind is MadeUp else 'diluted'} from itself"
    ]
    assert (extract.volume_ml, extract.added_ml, extract.passed_on_ml) == (370, 0, 0)


def test_more_poured_out_than_there_was_stands_in_both_and_is_flagged_on_both():
    life = OneJar.charged()
    life.press(ml=370)
    pour = Pour(liquid="extract", volume_ml=400, of=life.extract())
    charge = life.then(a_charge(code="MEOF-25-01", pours=(pour,)), "2025-06-05")
    shelf = replay(life.entries)
    source, jar = shelf.jars[life.charge.id], shelf.jars[charge.id]

    assert jar.contents.volume_ml == pytest.approx(400)
    assert source.extracts[0].volume_ml == 0
    assert source.extracts[0].unaccounted_ml == pytest.approx(-30)
    assert [one.event for one in source.flags] == [charge.id]
    assert [one.event for one in jar.flags] == [charge.id]


def test_an_extract_that_nothing_opens_is_a_pour_of_unknown_make():
    gone = About(jar="nothing-opens-it", extract="nor-this-one")
    life = OneJar.charged(pours=(Pour(liquid="extract", volume_ml=200, of=gone), spirit(100)))
    jar = life.now()

    assert jar.contents.volume_ml == pytest.approx(300)
    assert strength_pct_vol(jar) is None
    assert simple_strength_pct_vol(jar) is None
    assert jar.flags


def test_two_jars_charged_with_each_others_extracts_end_the_replay_all_the_same():
    """Only a correction can say so; one of the two has a pour of unknown make."""
    pen = Pen()
    one, other = OneJar(pen), OneJar(pen)
    first, second = ("first-charge", "first-press"), ("second-charge", "second-press")
    for life, own, of in ((one, first, second), (other, second, first)):
        pour = Pour(liquid="extract", volume_ml=100, of=About(jar=of[0], extract=of[1]))
        life.charge = pen.write(a_charge(code=own[0], pours=(pour,)), "2025-03-03", own[0])
        fact = Pressed(about=About(jar=own[0]), letter="A", volume_ml=90, keeps="P12M")
        pen.write(fact, "2025-04-03", own[1])
    shelf = replay(pen.entries)

    assert {len(jar.extracts) for jar in shelf.jars.values()} == {1}
    assert sum(len(jar.flags) for jar in shelf.jars.values()) >= 1


@pytest.mark.parametrize("kind", ["recharged", "diluted", "blended"])
def test_what_is_dated_before_the_pressing_is_flagged(kind):
    life = OneJar.charged()
    life.press("2025-06-03", ml=370)
    about = life.extract()
    facts = {
        "recharged": Recharged(
            about=about, herb="Calendula officinalis", form="dried", herb_g=10, least="P14D"
        ),
        "diluted": Diluted(about=about, pours=(spirit(10),)),
        "blended": Blended(
            code="BLEND-25-01",
            parts=(Portion(about=about, volume_ml=10), Portion(about=about, volume_ml=10)),
        ),
    }
    life.then(facts[kind], "2025-06-01")

    whys = [flag_text(one) for one in life.now().flags]
    assert whys == ["dated 1 Jun 2025, before it was pressed on 3 Jun 2025"]


def test_a_use_of_a_lot_that_was_struck_asks_for_an_answer():
    life = OneJar.charged()
    lot = Pen().write(
        Bought(code="LOT-25-01", liquid="ethanol", volume_ml=700, ethanol_pct_vol=45),
        "2025-03-01",
        "the-lot",
    )
    pour = Pour(liquid="ethanol", volume_ml=50, ethanol_pct_vol=45, lot=lot.id)
    topped = life.then(ToppedUp(about=About(jar=life.charge.id), pours=(pour,)), "2025-03-05")

    there = replay([*life.entries, lot])
    gone = replay(life.entries)

    assert overdrawn(list(there.lots.values()), there.jars.values()) == []
    (flag,) = overdrawn([], gone.jars.values())
    assert (flag.event, flag.asks) == (topped.id, True)
    assert "a lot that was struck or is not in the book" in flag_text(flag)
