"""The ratio of every extract of a jar, and what it is counted by."""

import pytest

from tests.lives import OneJar, Pen, a_charge, spirit
from tracker.core.facts.extracts import Blended, Filtered, MadeUp, Pressed
from tracker.core.facts.fields import About, Portion
from tracker.core.facts.jars import DrawnOff, Recharged, SteepedAgain
from tracker.core.reckoning.ratios import ratio_of
from tracker.core.replay.replay import replay
from tracker.core.shelf.thing import things

A_STEEP = {"least": "P14D"}


def ratios(entries) -> dict[str, tuple[float, str] | None]:
    """What is said of everything on the shelf, by its code."""
    every = [one for batch in replay(entries).batches for one in things(batch)]
    found = {one.code.removeprefix("CAOF-25-01") or "jar": ratio_of(one) for one in every}
    return {code: one and (round(one.r, 3), one.basis) for code, one in found.items()}


def steeped_three_times() -> OneJar:
    """100 g in 500 ml of spirit, pressed; the marc twice more in 300 ml."""
    one = OneJar.charged()
    one.press(ml=400.0)
    for letter, day, pressed in (("B", "2025-07", "2025-08-01"), ("C", "2025-08", "2025-09-01")):
        one.then(
            SteepedAgain(about=one.jar, pours=(spirit(300.0),), **A_STEEP),
            f"{day}-02",
        )
        one.then(Pressed(about=one.jar, letter=letter, volume_ml=300.0, keeps="P12M"), pressed)
    return one


def test_every_extract_of_old_marc_has_no_ratio_whichever_steep_is_in_hand():
    assert ratios(steeped_three_times().entries) == {
        "jar": None,
        "A": (5.0, "poured"),  # 500 ml for 100 g
        "B": None,
        "C": None,
    }


def test_what_is_drawn_off_old_marc_has_no_ratio_either():
    one = OneJar.charged()
    one.press(ml=400.0)
    one.then(SteepedAgain(about=one.jar, pours=(spirit(300.0),), **A_STEEP), "2025-07-02")
    one.then(DrawnOff(about=one.jar, letter="B", volume_ml=50.0, keeps="P6M"), "2025-07-20")

    assert ratios(one.entries)["B"] is None


def test_new_herb_in_an_extract_of_old_marc_makes_no_ratio_of_it():
    one = steeped_three_times()
    last = one.entries[-1]
    about = About(jar=one.charge.id, extract=last.id)
    herb = {"herb": "Calendula officinalis", "form": "dried", "herb_g": 50.0}
    one.then(Recharged(about=about, **herb, **A_STEEP), "2025-09-02")

    assert ratios(one.entries)["jar"] is None


def test_a_blend_of_both_extracts_counts_the_herb_once():
    """400 of 500 ml stand for 80 g; the marc kept 20 g's worth, of which 300 of 400 ml came out."""
    one = steeped_three_times()
    first, second = one.entries[1], one.entries[3]
    parts = tuple(
        Portion(about=About(jar=one.charge.id, extract=event.id), volume_ml=ml)
        for event, ml in ((first, 400.0), (second, 300.0))
    )
    blend = one.then(Blended(code="BOTH-25-01", parts=parts), "2025-10-01")
    shelf = replay(one.entries)

    herb_g = sum(herb.g for herb in shelf.blends[blend.id].contents.herbs)
    assert herb_g == pytest.approx(80.0 + 20.0 * 300 / 400)
    assert shelf.blends[blend.id].of_one_herb
    assert ratios(one.entries)["BOTH-25-01"] == (round(700 / herb_g, 3), "poured")


def test_a_blend_with_a_second_extract_and_not_its_first_has_no_ratio():
    one, other = steeped_three_times(), a_charge(code="OTHER-1")
    second = About(jar=one.charge.id, extract=one.entries[3].id)
    jar = one.then(other, "2025-03-03")
    press = Pressed(about=About(jar=jar.id), letter="A", volume_ml=400.0, keeps="P12M")
    pressed = one.then(press, "2025-06-03")
    parts = (
        Portion(about=second, volume_ml=50.0),
        Portion(about=About(jar=jar.id, extract=pressed.id), volume_ml=50.0),
    )
    one.then(Blended(code="MIX-25-01", parts=parts), "2025-10-01")

    assert ratios(one.entries)["MIX-25-01"] is None


def finished() -> OneJar:
    """Meant by finished volume: 100 g in 500 ml, 400 ml pressed."""
    one = OneJar.charged(ratio_basis="finished", ratio_meant="1:5")
    one.press(ml=400.0)
    return one


def test_before_the_pressing_the_ratio_is_by_what_was_poured():
    one = OneJar.charged(ratio_basis="finished")

    assert ratios(one.entries) == {"jar": (5.0, "poured")}


def test_the_finished_volume_is_counted_for_all_the_herb_through_filter_and_making_up():
    """By hand: 400, then 390, then 500 ml, each for 100 g."""
    one = finished()
    pressed = ratios(one.entries)["A"]
    one.then(Filtered(about=one.extract(), volume_ml=390.0), "2025-06-04")
    filtered = ratios(one.entries)["A"]
    one.bottle("2025-06-05", (1, 100.0))
    bottled = ratios(one.entries)
    # 290 ml are left for 100 g × 290/390; making up brings them to 390 ml
    one.then(MadeUp(about=one.extract(), pours=(spirit(100.0),), volume_ml=390.0), "2025-06-06")
    made_up = ratios(one.entries)

    assert pressed == (4.0, "finished")
    assert filtered == (3.9, "finished")
    assert bottled["A"] == bottled["A/1"] == (3.9, "finished")
    assert made_up["A"] == (round(390 / (100 * 290 / 390), 3), "finished")
    assert made_up["A/1"] == (3.9, "finished")
    assert made_up["jar"] == (4.0, "finished")


def test_what_was_drawn_off_takes_its_share_of_the_herb_along():
    """A fifth of the liquid was for 20 g; the 320 ml pressed of the rest for 80 g."""
    one = OneJar.charged(ratio_basis="finished")
    one.then(DrawnOff(about=one.jar, letter="A", volume_ml=100.0, keeps="P6M"), "2025-04-03")
    one.press(ml=320.0, letter="B")

    assert ratios(one.entries) == {
        "jar": (4.0, "finished"),
        "A": (5.0, "finished"),
        "B": (4.0, "finished"),
    }


def test_herb_that_was_not_weighed_has_no_ratio_by_finished_volume():
    one = OneJar.charged(ratio_basis="finished", herb_g=None)
    one.press(ml=400.0)

    assert ratios(one.entries)["A"] is None


@pytest.mark.parametrize(
    ("basis", "expected"),
    [("finished", (4.0, "finished")), ("poured", None)],
)
def test_a_blend_of_one_basis_says_it_and_one_of_two_has_no_ratio(basis, expected):
    pen = Pen()
    parts = []
    for code, meant in (("ONE-25-01", "finished"), ("TWO-25-01", basis)):
        one = OneJar(pen)
        one.charge = pen.write(a_charge(code=code, ratio_basis=meant), "2025-03-03")
        one.press(ml=400.0)
        parts.append(Portion(about=one.extract(), volume_ml=200.0))
    pen.write(Blended(code="MIX-25-01", parts=tuple(parts)), "2025-06-04")

    assert ratios(pen.entries)["MIX-25-01"] == expected
