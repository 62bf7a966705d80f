"""What a book teaches, against medians and shares worked by hand."""

from datetime import date

import pytest

from tests.lives import Pen, a_charge, on, spirit
from tracker.core.facts.extracts import Discarded, Filtered, Pressed, Settled
from tracker.core.facts.fields import About
from tracker.core.facts.jars import Joined, Split, SplitPart
from tracker.core.reckoning.past_yields import batches, goes_by, spread, yields
from tracker.core.replay.replay import replay

TODAY = date(2026, 1, 1)


def steep(pen: Pen, day: str, **changes: object) -> About:
    return About(jar=pen.write(a_charge(code=f"J-{len(pen.entries)}", **changes), day).id)


def press(pen: Pen, jar: About, day: str, ml: float, how: str | None = "by hand", **more) -> About:
    fact = Pressed(about=jar, letter="A", volume_ml=ml, keeps="P12M", how=how, **more)
    return About(jar=jar.jar, extract=pen.write(fact, day).id)


def lines(pen: Pen):
    return yields(replay(pen.entries).jars.values(), TODAY)


def test_the_middle_of_an_even_number_is_half_way_between_the_two():
    """Of 1, 2, 4 and 9: (2 + 4) / 2."""
    found = spread([9.0, None, 1.0, 4.0, 2.0])

    assert (found.n, found.low, found.median, found.high) == (4, 1.0, 3.0, 9.0)
    assert spread([None]) is None


def test_each_method_has_its_own_line_with_its_own_middle():
    """100 g in 500 ml: 370, 380 and 350 ml out are 1.3, 1.2 and 1.5 ml per g; 410 is 0.9."""
    pen = Pen()
    for day, ml in (("2025-06-01", 370.0), ("2025-06-11", 380.0), ("2025-06-03", 350.0)):
        press(pen, steep(pen, "2025-05-01"), day, ml)
    press(pen, steep(pen, "2025-05-01"), "2025-07-01", 410.0, "screw press")
    by_hand, in_a_press = lines(pen)

    assert (by_hand.method, by_hand.pressed, in_a_press.method) == ("by hand", 3, "in a press")
    held = by_hand.held_ml_per_g
    assert (held.n, held.low, held.median, held.high) == pytest.approx((3, 1.2, 1.3, 1.5))
    assert by_hand.given_pct.median == pytest.approx(74.0)  # 370 / 500
    assert in_a_press.held_ml_per_g.median == pytest.approx(0.9)
    assert (by_hand.days.low, by_hand.days.median, by_hand.days.high) == (31, 33, 41)


def test_what_filter_and_lees_keep_is_a_share_of_what_was_pressed():
    """12 and then 8 ml of 400: 5 %. An extract that was never cleared says nothing."""
    pen = Pen()
    made = press(pen, steep(pen, "2025-05-01"), "2025-06-01", 400.0)
    pen.write(Filtered(about=made, volume_ml=388.0), "2025-06-02")
    pen.write(Settled(about=made, volume_ml=380.0), "2025-06-09")
    press(pen, steep(pen, "2025-05-01"), "2025-06-01", 400.0)
    (line,) = lines(pen)

    assert (line.lost_pct.n, line.lost_pct.median) == (1, pytest.approx(5.0))


def test_a_jar_thrown_out_and_a_extract_mostly_thrown_out_are_spoilt():
    pen = Pen()
    steep_ = steep(pen, "2025-05-01")
    pen.write(Discarded(about=steep_, why="mould"), "2025-05-09")
    for gone_ml in (201.0, 199.0):
        made = press(pen, steep(pen, "2025-05-01"), "2025-06-01", 400.0)
        pen.write(Discarded(about=made, volume_ml=gone_ml, why="mould"), "2025-07-01")
    steep(pen, "2025-12-01")  # still in hand: it may yet do either
    (line,) = lines(pen)

    assert (line.spoiled, line.ended, line.pressed) == (2, 3, 2)


def test_what_was_not_measured_or_not_dated_teaches_nothing():
    pen = Pen()
    press(pen, steep(pen, "2025-05-01"), "2025-06-01", 370.0, known="by eye")
    unsure = pen.write(a_charge(code="J-OLD"), on("2025-05-01", "month"))
    press(pen, About(jar=unsure.id), "2025-06-01", 380.0)
    (line,) = lines(pen)

    assert (line.pressed, line.held_ml_per_g.n, line.days.n) == (2, 1, 1)


def test_a_jar_split_or_joined_is_told_by_the_jars_it_became():
    """1000 ml on 200 g in halves, each pressed: two pressings, and no third jar that ended."""
    pen = Pen()
    crock = steep(pen, "2025-05-01", herb_g=200.0, pours=(spirit(1000.0),))
    halves = (SplitPart(code="L", share=0.5), SplitPart(code="R", share=0.5))
    parts = pen.write(Split(about=crock, into=halves), "2025-05-02").id
    press(pen, About(jar=f"{parts}.1"), "2025-06-01", 370.0)
    press(pen, About(jar=f"{parts}.2"), "2025-06-01", 350.0)
    one, other = steep(pen, "2025-05-01"), steep(pen, "2025-05-01")
    pen.write(Joined(code="BOTH", parts=(one.jar, other.jar)), "2025-05-20", "joined-00001")
    press(pen, About(jar="joined-00001"), "2025-06-01", 760.0)
    (line,) = lines(pen)

    assert (line.pressed, line.ended, line.spoiled) == (3, 3, 0)
    held = line.held_ml_per_g
    assert (held.low, held.median, held.high) == pytest.approx((1.2, 1.3, 1.5))


@pytest.mark.parametrize(
    "said", ["Calendula officinalis", "calendula", "marigold", "OFFICINALIS", "caof"]
)
def test_a_herb_goes_by_any_of_its_names_and_by_its_code(said):
    pen = Pen()
    mine = pen.write(a_charge(code="CAOF-25-01"), "2025-05-01").id
    pen.write(a_charge(code="MEPI-25-01", herb="Mentha piperita"), "2025-05-02")
    jars = replay(pen.entries).jars.values()

    assert [jar.id for jar in batches(jars, goes_by(said))] == [mine]
