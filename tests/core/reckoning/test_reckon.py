"""Amounts, ratio, bounds and dates of a jar, against sums worked by hand.

Worked examples are invented and were added up on paper; 1 US fl oz is 29.5735 ml and 1 oz is
28.3495 g (NIST Handbook 44, Appendix C).
"""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.hypothesis_profile import USUAL
from tests.lives import OneJar, books, jar_after, on, spirit
from tracker.core.facts.extracts import Discarded
from tracker.core.facts.fields import Pour
from tracker.core.facts.jars import ToppedUp
from tracker.core.reckoning import amounts
from tracker.core.reckoning.strength import allowance_pct_vol, strength_pct_vol
from tracker.core.replay.replay import replay

FL_OZ_ML, OZ_G = 29.5735, 28.3495


def glowing_tops(**changes: object) -> OneJar:
    """12 oz of fresh tops, 75 % water, in 24 fl oz of 95 % spirit."""
    return OneJar.charged(
        "2025-06-21",
        form="fresh",
        herb_g=12 * OZ_G,
        herb_water_pct_mass=75.0,
        pours=(spirit(24 * FL_OZ_ML, 95.0),),
        preparation="spirit on fresh herb",
        least="P10D",
        **changes,
    )


def test_a_dried_herb_in_spirit_reckons_as_on_paper():
    """100 g in 500 ml of 45 %: 1:5, 28 days, the marc held 130 of 500 ml."""
    one = OneJar.charged("2025-03-03", least="P28D")
    one.press("2025-04-05", ml=370.0, how="by hand")
    jar = one.now()

    assert amounts.ratio(jar) == pytest.approx(5.0)
    assert amounts.simple_strength_pct_vol(jar) == pytest.approx(45.0)
    assert amounts.earliest_press(jar) == date(2025, 3, 31)
    assert amounts.days_on_herb(jar, date(2025, 12, 24)) == (33, 33)
    assert amounts.held_ml_per_g(jar) == pytest.approx(1.3)
    assert jar.extracts[0].good_through == date(2026, 4, 5)
    # Common practice, no source: by hand the marc holds 1.0 to 1.9 ml per gram of dry herb.
    assert amounts.possible_ml(jar, "by hand") == amounts.Band(310.0, 400.0)


def test_a_fresh_herb_brings_its_water_into_the_sum():
    """Of 340.2 g, 255.1 g is water, 255.6 ml at 20 °C; 85.0 g is dry herb."""
    jar = glowing_tops().now()

    assert amounts.ratio(jar) == pytest.approx(2.09, abs=0.005)
    assert amounts.herb_water_ml(jar) == pytest.approx(255.6, abs=0.05)
    assert amounts.dry_herb_g(jar) == pytest.approx(85.0, abs=0.1)
    assert amounts.simple_strength_pct_vol(jar) == pytest.approx(69.85, abs=0.05)


def test_a_top_up_changes_ratio_and_strength_and_never_the_day_of_pressing():
    one = glowing_tops()
    ready = amounts.earliest_press(one.now())
    one.then(ToppedUp(about=one.jar, pours=(spirit(2 * FL_OZ_ML, 95.0),)), "2025-06-22")
    jar = one.now()

    assert amounts.poured_ml(jar) == pytest.approx(768.9, abs=0.05)
    assert amounts.ratio(jar) == pytest.approx(2.26, abs=0.005)
    assert amounts.simple_strength_pct_vol(jar) == pytest.approx(71.3, abs=0.05)
    assert amounts.hard_bound_ml(jar) == pytest.approx(1024.5, abs=0.1)
    assert amounts.earliest_press(jar) == ready == date(2025, 7, 1)


def test_several_spirits_are_summed_by_what_each_brought():
    """1500 ml of 50 %, then 500 and 250 ml of 75.5 %: 1:18.75 and 58.5 % by plain volumes."""
    one = OneJar.charged("2025-09-01", herb_g=120.0, pours=(spirit(1500.0, 50.0),))
    for day, ml in (("2025-09-02", 500.0), ("2025-09-04", 250.0)):
        one.then(ToppedUp(about=one.jar, pours=(spirit(ml, 75.5),)), day)
    jar = one.now()

    assert amounts.ratio(jar) == pytest.approx(18.75)
    assert amounts.simple_strength_pct_vol(jar) == pytest.approx(58.5, abs=0.05)


def test_strength_with_contraction_is_above_the_plain_sum():
    """58.6 % with the contraction of OIML R 22 where plain volumes say 58.5 %."""
    one = OneJar.charged(pours=(spirit(1500.0, 50.0), spirit(750.0, 75.5)))

    assert strength_pct_vol(one.now()) == pytest.approx(58.6, abs=0.05)


def test_strength_is_unknown_where_a_fresh_herb_was_not_weighed():
    jar = OneJar.charged(form="fresh", herb_g=None, herb_known="unknown").now()

    assert strength_pct_vol(jar) is None
    assert amounts.herb_water_ml(jar) is None
    assert amounts.dry_herb_g(jar) is None


def test_a_moisture_that_nobody_stated_is_marked_so_and_widens_the_allowance():
    unstated = OneJar.charged(form="fresh").now()
    water = amounts.herb_water(unstated)
    stated = OneJar.charged(form="fresh", herb_water_pct_mass=water.pct_mass).now()

    assert strength_pct_vol(unstated) == pytest.approx(strength_pct_vol(stated))
    assert (water.off_pct > 0, water.basis != "stated") == (True, True)
    assert allowance_pct_vol(unstated) > allowance_pct_vol(stated)
    assert amounts.herb_water(stated).basis == "stated"


def test_a_dried_herb_of_stated_moisture_brings_that_water():
    one = OneJar.charged(herb_water_pct_mass=10.0)

    assert amounts.herb_water_ml(one.now()) == pytest.approx(10.018, abs=0.001)
    assert amounts.dry_herb_g(one.now()) == pytest.approx(90.0)


def test_water_alone_has_no_strength():
    one = OneJar.charged(pours=(Pour(liquid="water", volume_ml=500.0),), preparation="other")

    assert amounts.simple_strength_pct_vol(one.now()) == 0.0


def test_what_hangs_on_an_unknown_weight_is_unknown():
    jar = OneJar.charged(herb_g=None, herb_known="unknown").now()
    one = OneJar.charged(herb_g=None, herb_known="unknown")
    one.press(ml=370.0)

    assert amounts.ratio(jar) is None
    assert amounts.hard_bound_ml(jar) is None
    assert amounts.possible_ml(jar) == amounts.Band(None, None)
    assert amounts.held_ml_per_g(one.now()) is None


@pytest.mark.parametrize(
    ("how", "low", "high"),
    [
        # Common practice, no source: 0.7-1.0 ml/g held in a press, 1.0-1.9 ml/g by hand.
        ("by hand", 310.0, 400.0),
        ("ricer", 310.0, 400.0),
        ("screw press", 400.0, 430.0),
        ("Hydraulic Press", 400.0, 430.0),
        (None, 310.0, 430.0),
    ],
)
def test_the_likely_band_follows_the_method(how, low, high):
    band = amounts.possible_ml(OneJar.charged().now(), how)

    assert (band.low_ml, band.high_ml) == pytest.approx((low, high))


def test_a_band_never_falls_below_nothing():
    jar = OneJar.charged(herb_g=400.0, pours=(spirit(300.0),)).now()

    assert amounts.possible_ml(jar) == amounts.Band(0.0, pytest.approx(20.0))


def test_a_fresh_herb_has_its_hard_bound_and_no_band():
    jar = glowing_tops().now()
    band = amounts.possible_ml(jar)

    assert band.low_ml is None
    assert band.high_ml == pytest.approx(965.4, abs=0.1)


@USUAL
@given(books())
def test_the_hard_bound_is_never_below_what_was_poured(book):
    for jar in replay(book).jars.values():
        bound_ml = amounts.hard_bound_ml(jar)
        assert bound_ml is None or bound_ml >= amounts.poured_ml(jar) - 1e-6


@USUAL
@given(st.floats(1, 5000), st.floats(0, 100))
def test_the_hard_bound_covers_all_that_went_in_of_a_herb_of_any_moisture(herb_g, share):
    """A bound must never refuse a real measurement."""
    jar = OneJar.charged(herb_g=herb_g, herb_water_pct_mass=share).now()
    water_ml = amounts.herb_water_ml(jar)

    assert amounts.hard_bound_ml(jar) >= 500.0 + water_ml - 1e-6


# Dates, from the end of the range that is safe


def test_ready_waits_for_the_late_end_of_an_inexact_charge():
    jar = OneJar.charged(on("2025-03-01", "month"), least="P28D").now()

    assert amounts.earliest_press(jar) == date(2025, 4, 28)
    assert not amounts.is_ready(jar, date(2025, 4, 27))
    assert amounts.is_ready(jar, date(2025, 4, 28))


def test_the_longest_time_runs_from_the_early_end():
    jar = OneJar.charged(on("2025-03-01", "month"), longest="P2M").now()

    assert amounts.longest_day(jar) == date(2025, 5, 1)
    assert amounts.longest_day(OneJar.charged().now()) is None


def test_good_through_runs_from_the_early_end_of_the_pressing():
    one = OneJar.charged(on("2023-01-01", "year"))
    one.press(on("2024-06-01", "season"), keeps="P12M")
    extract = one.now().extracts[0]

    assert extract.good_through == date(2025, 6, 1)


def test_months_of_keeping_are_clamped_once_and_inclusive():
    """Strained on 29 February 2024: twelve months on it is good through 28 February 2025."""
    one = OneJar.charged("2024-01-31", least="P1M")
    assert amounts.earliest_press(one.now()) == date(2024, 2, 29)

    one.press("2024-02-29", keeps="P12M")
    assert one.now().extracts[0].good_through == date(2025, 2, 28)


def test_bottling_never_restarts_the_keeping():
    one = OneJar.charged()
    one.press("2025-06-03")
    before = one.now().extracts[0].good_through
    one.bottle("2025-12-24", (3, 100.0))

    assert one.now().extracts[0].good_through == before == date(2026, 6, 3)


def test_days_on_the_herb_end_with_the_pressing_or_the_discard():
    one = OneJar.charged("2025-03-03")
    assert amounts.days_on_herb(one.now(), date(2025, 3, 3)) == (0, 0)
    assert amounts.days_on_herb(one.now(), date(2026, 3, 3)) == (365, 365)

    one.then(Discarded(about=one.jar, why="mould"), "2025-03-13")
    assert amounts.days_on_herb(one.now(), date(2026, 3, 3)) == (10, 10)


def test_days_on_the_herb_are_a_range_where_a_day_is_not_known():
    """March to June: 1 June less 31 March is 62 days, 30 June less 1 March 121."""
    one = OneJar.charged(on("2025-03-01", "month"))
    one.press(on("2025-06-01", "month"))

    assert amounts.days_on_herb(one.now(), date(2025, 12, 24)) == (62, 121)
    unknown = OneJar.charged(on("2025-03-01", "unknown")).now()
    assert amounts.days_on_herb(unknown, date(2025, 12, 24)) is None


def test_a_pressed_or_discarded_jar_is_never_ready():
    one = OneJar.charged("2025-03-03", least="P1D")
    one.press("2025-03-10")
    other = OneJar.charged("2025-03-03", least="P1D")
    other.then(Discarded(about=other.jar, why="mould"), "2025-03-10")

    assert not amounts.is_ready(one.now(), date(2026, 1, 1))
    assert not amounts.is_ready(other.now(), date(2026, 1, 1))


def test_a_jar_left_for_years_is_still_macerating_and_ready():
    """Common practice, no source: jars stand for years, herb in, pressed when wanted."""
    jar = OneJar.charged("2019-03-03").now()
    today = date(2025, 6, 15)

    assert jar.is_macerating
    assert amounts.is_ready(jar, today)
    assert amounts.days_on_herb(jar, today) == ((today - date(2019, 3, 3)).days,) * 2


def test_yield_never_changes_the_ratio():
    one = OneJar.charged()
    before = amounts.ratio(one.now())
    one.press(ml=250.0)

    assert amounts.ratio(jar_after(one.entries, one.charge.id)) == before
