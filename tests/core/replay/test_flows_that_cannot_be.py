"""Flows that cannot be: replay keeps them, says so, and makes nothing out of nothing."""

import pytest

from tests.lives import OneJar, Pen, spirit
from tracker.core.facts.extracts import Blended, Diluted, Refilled
from tracker.core.facts.fields import About, Portion, Pour
from tracker.core.facts.jars import Recharged, ToppedUp
from tracker.core.facts.lots import Bought
from tracker.core.reckoning.lot_balance import overdrawn
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
    assert whys == ["dated 2025-06-01, before it was pressed on 2025-06-03"]


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
    assert "a lot that nothing in force opens" in flag_text(flag)
