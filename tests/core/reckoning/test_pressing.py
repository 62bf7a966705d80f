"""What a pressing may give, learnt from earlier ones.

The handbook's bands are common practice, no source: 1.0 to 1.9 ml per g of dry herb held by
hand, 0.7 to 1.0 in a press. The update is that of a normal distribution of unknown mean and
variance (Gelman and others, Bayesian Data Analysis, section 3.3; from memory), worked by hand.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from tests.hypothesis_profile import USUAL
from tests.lives import OneJar, spirit
from tracker.core.reckoning import amounts, likely_yield
from tracker.core.reckoning.likely_yield import (
    HANDBOOK,
    held_before,
    hold_back,
    is_odd,
    likely_ml,
)

FL_OZ_ML = 29.5735  # NIST Handbook 44, Appendix C
BY_HAND = HANDBOOK["by hand"]
helds = st.lists(st.floats(0.2, 4.0), min_size=1, max_size=30)


def pressed(ml, how="by hand", code="CAOF-25-01", **changes):
    """A jar of 100 g in 500 ml that gave so much, with an id of its own."""
    one = OneJar.charged(code=code, **changes)
    one.press(ml=ml, how=how)
    return replace(one.now(), id=f"{code}-{ml}-{how}")


def own(*yields_ml, **changes):
    """Earlier jars of the same herb that gave these volumes."""
    return [
        pressed(ml, code=f"CAOF-24-{place:02d}", **changes) for place, ml in enumerate(yields_ml, 1)
    ]


def jar(**changes):
    """A jar of 100 g in 500 ml, still to be pressed."""
    return OneJar.charged(**changes).now()


def band(likely):
    return likely.low_ml, likely.high_ml


def test_without_a_pressing_of_ones_own_the_handbook_stands():
    likely = likely_ml(jar(), [], "by hand")

    assert band(likely) == pytest.approx((310, 400))
    assert likely.own == 0
    assert band(likely_ml(jar(), [], "in a press")) == pytest.approx((400, 430))


def middle(found):
    """The mean of a band: it lies as far below as above."""
    return (found.low_ml_per_g + found.high_ml_per_g) / 2


def test_three_pressings_move_the_band_as_worked_by_hand():
    """Held 1.30, 1.58 and 1.60; the handbook's 1.45 counts four times.

    Its spread makes 1.0 to 1.9 hold 9 of 10: 0.45 / (2.132 × √1.25) = 0.18880. Mean
    (4 × 1.45 + 4.48) / 7 = 1.46857. Squares: 4 × 0.035645 + 0.056267 about their own mean
    + 12 / 7 × 0.043333² = 0.202066; over 7, times 1 + 1/7, the root is 0.18163, and t of 7
    degrees 1.8946 times that 0.34412. NIST e-Handbook of Statistical Methods, 1.3.6.7.2:
    2.132 and 1.895 (from memory).
    """
    found = hold_back([1.30, 1.58, 1.60], BY_HAND)

    assert found.own == 3
    assert middle(found) == pytest.approx(1.46857, abs=1e-5)
    assert found.low_ml_per_g == pytest.approx(1.46857 - 0.34412, abs=2e-5)
    assert found.high_ml_per_g == pytest.approx(1.46857 + 0.34412, abs=2e-5)


def test_the_maker_who_presses_drier_is_believed_in_the_end():
    """1.0 ml per g again and again, where the handbook's middle is 1.45."""
    means = [middle(hold_back([1.0] * count, BY_HAND)) for count in (1, 4, 12, 100)]

    assert means == sorted(means, reverse=True)
    assert means[0] == pytest.approx((4 * 1.45 + 1.0) / 5)
    assert means[1] == pytest.approx((1.45 + 1.0) / 2)  # as many as the handbook counts for
    assert means[-1] == pytest.approx(1.0, abs=0.02)


def test_a_band_narrows_with_evidence_but_never_to_a_line():
    widths = [
        found.high_ml_per_g - found.low_ml_per_g
        for found in (hold_back([1.45] * count, BY_HAND) for count in (1, 5, 50, 5000))
    ]

    assert widths == sorted(widths, reverse=True)
    assert widths[-1] == pytest.approx(0.1)


def test_one_slip_of_the_pen_does_not_carry_the_band_away():
    """12 read as ml instead of 12 fl oz: 4.88 ml per g among twelve of 1.45."""
    found = hold_back([1.45] * 12 + [4.88], BY_HAND)

    assert abs(middle(found) - 1.45) < 0.25


@USUAL
@given(helds, st.randoms(use_true_random=False))
def test_the_order_of_the_pressings_leaves_no_trace(held, chance):
    shuffled = list(held)
    chance.shuffle(shuffled)

    assert middle(hold_back(shuffled, BY_HAND)) == pytest.approx(
        middle(hold_back(held, BY_HAND)), rel=1e-12
    )


@USUAL
@given(helds)
def test_the_mean_lies_between_the_handbook_and_the_makers_own(held):
    ends = sorted((sum(BY_HAND) / 2, sum(held) / len(held)))
    found = hold_back(held, BY_HAND)

    assert ends[0] - 1e-9 <= middle(found) <= ends[1] + 1e-9
    assert found.low_ml_per_g < found.high_ml_per_g


def test_only_the_same_herb_form_and_method_count():
    others = [
        *own(370.0),
        pressed(410.0, "screw press"),
        pressed(350.0, None),
        pressed(300.0, herb="Melissa officinalis"),
        pressed(480.0, form="fresh", herb_water_pct_mass=80.0),
    ]

    assert held_before(jar(), others, "by hand") == pytest.approx([1.3])
    assert held_before(jar(), others, "in a press") == pytest.approx([0.9])


def test_what_was_judged_by_eye_or_is_unpressed_teaches_nothing():
    by_eye = OneJar.charged()
    by_eye.press(ml=300.0, how="by hand", known="by eye")
    others = [
        by_eye.now(),
        jar(code="CAOF-24-09"),
        *own(370.0, herb_known="by eye"),
        *own(370.0, herb_g=None, herb_known="unknown"),
    ]

    assert held_before(replace(jar(), id="mine"), others, "by hand") == []


def test_a_jar_is_no_evidence_about_itself():
    mine = pressed(12.0)

    assert held_before(mine, [mine, *own(370.0)], "by hand") == pytest.approx([1.3])


def test_fresh_herb_has_no_band_until_there_are_three_pressings_of_ones_own():
    """100 g of 80 % water in 500 ml: 80 g are 80.14 ml of water, 580.1 ml in all.

    By 520, 530 and 540 ml, 10 ml apart, the next lies within t of 2 degrees (2.920, NIST
    e-Handbook 1.3.6.7.2, from memory) × 10 × √(1 + 1/3) = 33.7 ml of 530.
    """
    fresh = {"form": "fresh", "herb_water_pct_mass": 80.0}

    assert likely_ml(jar(**fresh), own(520.0, 530.0, **fresh), "by hand") is None
    likely = likely_ml(jar(**fresh), own(520.0, 530.0, 540.0, **fresh), "by hand")
    assert likely.own == 3
    assert band(likely) == pytest.approx((530 - 33.7, 530 + 33.7), abs=0.05)


def test_fresh_herb_of_unstated_water_is_compared_with_its_like():
    """Whatever water is taken for all of them, it makes no difference."""
    fresh = {"form": "fresh", "herb_water_pct_mass": None}
    likely = likely_ml(jar(**fresh), own(520.0, 530.0, 540.0, **fresh), "by hand")

    assert band(likely) == pytest.approx((530 - 33.7, 530 + 33.7), abs=0.05)


def test_the_band_never_leaves_what_is_possible():
    small = jar(herb_g=400.0, pours=(spirit(300.0),))
    wet = jar(form="fresh", herb_water_pct_mass=0.0)
    likely = likely_ml(
        wet, own(499.0, 499.5, 500.0, form="fresh", herb_water_pct_mass=0.0), "by hand"
    )

    assert likely_ml(small, [], "by hand").low_ml == 0.0
    assert likely.high_ml <= amounts.hard_bound_ml(wet)


def test_an_unweighed_herb_has_no_band():
    assert likely_ml(jar(herb_g=None, herb_known="unknown"), [], "by hand") is None


@pytest.mark.parametrize(
    ("how", "method"),
    [
        ("by hand", "by hand"),
        ("ricer", "by hand"),
        ("cloth", "by hand"),
        ("screw press", "in a press"),
        ("Hydraulic Press", "in a press"),
        (None, None),
    ],
)
def test_every_way_of_pressing_is_one_of_two_methods(how, method):
    assert likely_yield.method_of(how) == method


# A second look


@pytest.mark.parametrize(
    ("ml", "odd"),
    [(370, False), (286, False), (284, True), (424, False), (426, True), (12, True)],
)
def test_a_yield_beyond_the_band_by_a_twentieth_of_what_was_poured_is_odd(ml, odd):
    """310 to 400 ml are usual by hand, and 25 ml either way are let pass."""
    likely = likely_yield.likely_by_method(jar(), [], "by hand")

    assert is_odd(jar(), ml, likely) is odd


def test_where_there_is_no_band_less_than_half_is_odd():
    assert is_odd(jar(form="fresh"), 249, ())
    assert not is_odd(jar(form="fresh"), 251, ())


def test_ounces_taken_for_millilitres_are_guessed():
    likely = likely_yield.likely_by_method(jar(), [], "by hand")

    assert likely_yield.if_ounces_ml(12.0, jar(), likely, FL_OZ_ML) == pytest.approx(12 * FL_OZ_ML)
    assert likely_yield.if_ounces_ml(70.0, jar(), likely, FL_OZ_ML) is None


def test_millilitres_taken_for_ounces_are_guessed():
    """12.5 ml of a 25 ml trial, written as 12.5 oz."""
    trial = jar(herb_g=7.0, pours=(spirit(25.0),))
    likely = likely_yield.likely_by_method(trial, [], "by hand")

    assert likely_yield.if_ounces_ml(12.5 * FL_OZ_ML, trial, likely, FL_OZ_ML) == pytest.approx(
        12.5
    )


def test_a_guess_never_goes_beyond_all_that_went_in():
    fresh = jar(form="fresh", herb_water_pct_mass=80.0)

    assert likely_yield.if_ounces_ml(30.0, fresh, (), FL_OZ_ML) is None


def test_so_little_herb_that_nothing_is_divided_by_it_holds_nothing_known():
    """A line of a stranger may say so; a number beyond all numbers is no answer."""
    assert amounts.held_ml_per_g(pressed(100.0, herb_g=5e-324)) is None
