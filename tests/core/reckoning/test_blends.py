"""How strong a blend is, against a reckoning by CoolProp alone."""

import pytest

from tests.lives import Pen, a_charge, spirit
from tracker.core.facts.extracts import (
    Blended,
    Bottled,
    BottleRun,
    Dispensed,
    Pressed,
    Refilled,
)
from tracker.core.facts.fields import About, Portion
from tracker.core.reckoning.strength import strength_pct_vol
from tracker.core.replay.replay import replay
from tracker.core.shelf.thing import Thing

ETHANOL_KG_M3 = 789.24  # pure, at 20 °C: OIML R 22 (1975)


def density_kg_m3(ethanol_ww: float) -> float:
    """CoolProp INCOMP::MEA (after Melinder), ethanol in water, good for 0 to 60 % by mass."""
    properties = pytest.importorskip("CoolProp.CoolProp")
    return properties.PropsSI("D", "T", 293.15, "P", 101325, f"INCOMP::MEA[{ethanol_ww}]")


def ethanol_ww(pct_vol: float) -> float:
    """% vol as a mass fraction, by halving."""
    low, high = 0.0, 0.6
    for _ in range(60):
        middle = (low + high) / 2
        if middle * density_kg_m3(middle) / ETHANOL_KG_M3 * 100 < pct_vol:
            low = middle
        else:
            high = middle
    return low


def blended_pct_vol(*parts: tuple[float, float]) -> float:
    """The strength of (ml, % vol) put together: masses add up, volumes do not."""
    whole_g = ethanol_g = 0.0
    for ml, pct_vol in parts:
        ww = ethanol_ww(pct_vol)
        g = ml * density_kg_m3(ww) / 1000
        whole_g, ethanol_g = whole_g + g, ethanol_g + g * ww
    ww = ethanol_g / whole_g
    return ww * density_kg_m3(ww) / ETHANOL_KG_M3 * 100


def extract(pen: Pen, name: str, pct_vol: float) -> About:
    """500 ml of a strength on dry herb, pressed to 400 ml."""
    charge = pen.write(a_charge(code=name, pours=(spirit(500.0, pct_vol),)), "2025-01-10")
    fact = Pressed(about=About(jar=charge.id), letter="A", volume_ml=400.0, keeps="P12M")
    return About(jar=charge.id, extract=pen.write(fact, "2025-06-03").id)


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ((100, 40), (150, 60)),
        ((200, 25), (40, 65)),
        ((60, 45), (300, 45)),
        ((250, 12), (50, 50)),
    ],
)
def test_a_blend_is_as_strong_as_another_reckoning_has_it(first, second):
    """The two models of the density of ethanol and water differ by 0.3 kg/m3 at most."""
    pen = Pen()
    one, other = (extract(pen, f"J-{pct}", float(pct)) for _, pct in (first, second))
    parts = (
        Portion(about=one, volume_ml=float(first[0])),
        Portion(about=other, volume_ml=float(second[0])),
    )
    blend = pen.write(Blended(code="BLEND-25-01", parts=parts), "2025-06-04")
    made = replay(pen.entries).blends[blend.id].liquid.made

    assert strength_pct_vol(made) == pytest.approx(blended_pct_vol(first, second), abs=0.1)


def test_a_bottle_refilled_and_blended_again_still_agrees():
    """30 ml of 60 % left in the bottle, 70 ml of 40 % put in, 50 ml of that to 100 of 25 %."""
    pen = Pen()
    strong, usual, weak = (extract(pen, f"J-{pct}", pct) for pct in (60.0, 40.0, 25.0))
    run = BottleRun(size_ml=100.0, count=1, first=1)
    pen.write(Bottled(about=strong, bottles=(run,)), "2025-06-04")
    bottle = About(jar=strong.jar, extract=strong.extract, bottle=1)
    pen.write(Dispensed(about=bottle, volume_ml=70.0), "2025-06-05")
    pen.write(Refilled(about=bottle, source=Portion(about=usual, volume_ml=70.0)), "2025-06-06")
    parts = (Portion(about=bottle, volume_ml=50.0), Portion(about=weak, volume_ml=100.0))
    blend = pen.write(Blended(code="BLEND-25-01", parts=parts), "2025-06-07")
    shelf = replay(pen.entries)
    jar = shelf.jars[strong.jar]
    in_bottle = blended_pct_vol((30, 60), (70, 40))

    thing = Thing("", jar, jar.extracts[0], jar.extracts[0].bottle(1))
    assert strength_pct_vol(thing.made) == pytest.approx(in_bottle, abs=0.1)
    assert strength_pct_vol(shelf.blends[blend.id].liquid.made) == pytest.approx(
        blended_pct_vol((50, in_bottle), (100, 25)), abs=0.1
    )
