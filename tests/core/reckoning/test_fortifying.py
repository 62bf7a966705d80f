"""Will a jar keep, and what brings it to where it does.

Thresholds of 20 and 25 % vol are makers' figures, from memory; published ones differ.
"""

import pytest

from tests.lives import OneJar, spirit
from tracker.core.facts.fields import Pour
from tracker.core.menstruum.mixture import Part, mixture, scaled
from tracker.core.practice.practice import Practice
from tracker.core.reckoning.fortification import keeping_of, parts_to_fortify

FRESH = {
    "form": "fresh",
    "herb_g": 250.0,
    "preparation": "spirit on fresh herb",
}


def weak(water_pct=80.0, **changes):
    """250 g of fresh herb in 300 ml of 40 % spirit: the common trap."""
    usual = FRESH | {"pours": (spirit(300.0, 40.0),), "herb_water_pct_mass": water_pct}
    return OneJar.charged(**(usual | changes))


def test_fresh_herb_in_weak_spirit_is_told_what_to_add_and_that_is_enough():
    """200 g of water beside 120 ml of ethanol: 24 % vol by plain sums, below 25."""
    jar = weak().now()
    keeping = keeping_of(jar, Practice())

    assert keeping.level == "caution"
    assert [one.ethanol_pct_vol for one in keeping.additions] == [40.0, 95.0]
    for one in keeping.additions:
        after = mixture([*parts_to_fortify(jar), Part("ethanol", one.ml, one.ethanol_pct_vol)])
        assert after.ethanol_pct_vol == pytest.approx(25.0, abs=1e-6)


def test_the_same_spirit_is_not_suggested_where_it_can_never_be_enough():
    jar = weak(pours=(spirit(300.0, 22.0),)).now()
    keeping = keeping_of(jar, Practice())

    assert keeping.level == "warning"
    assert [one.ethanol_pct_vol for one in keeping.additions] == [95.0]


def test_strong_enough_spirit_is_fine_and_nothing_is_added():
    keeping = keeping_of(OneJar.charged().now(), Practice())

    assert (keeping.level, keeping.additions) == ("fine", ())


def test_the_makers_own_thresholds_count():
    practice = Practice(warn_below_pct_vol=30.0, caution_below_pct_vol=50.0)
    keeping = keeping_of(OneJar.charged().now(), practice)

    assert keeping.level == "caution"
    assert keeping.target_pct_vol == 50.0
    assert keeping_of(weak().now(), practice).level == "warning"


@pytest.mark.parametrize("preparation", ["vinegar", "glycerite", "honey or oxymel", "oil"])
def test_what_keeps_by_other_means_is_not_judged(preparation):
    vinegar = Pour(liquid="vinegar", volume_ml=500.0)
    jar = OneJar.charged(preparation=preparation, pours=(vinegar,)).now()

    assert keeping_of(jar, Practice()) is None


def test_glycerin_changes_no_level_and_is_called_uncertain():
    glycerin = Pour(liquid="glycerin", volume_ml=100.0)
    keeping = keeping_of(weak(pours=(spirit(300.0, 40.0), glycerin)).now(), Practice())

    assert keeping.level == "caution"
    assert "uncertain" in keeping.reason


def test_a_pressed_extract_is_mended_by_what_is_left_of_it():
    one = weak()
    one.press(ml=100.0)
    jar = one.now()
    whole = keeping_of(jar, Practice()).additions[-1]
    left = keeping_of(jar, Practice(), jar.extracts[0]).additions[-1]
    in_it = scaled(parts_to_fortify(jar), 100.0 / mixture(parts_to_fortify(jar)).volume_ml)

    after = mixture([*in_it, Part("ethanol", left.ml, left.ethanol_pct_vol)])
    assert after.ethanol_pct_vol == pytest.approx(25.0, abs=1e-6)
    assert left.ml < whole.ml / 4


def test_an_emptied_extract_wants_nothing_added():
    one = weak()
    one.press(ml=100.0)
    one.bottle("2025-06-04", (1, 100.0))
    jar = one.now()

    assert keeping_of(jar, Practice(), jar.extracts[0]).additions == ()


def test_herb_whose_water_was_not_stated_is_mended_for_the_wettest():
    """Enough for every herb of such a kind, where the published water is only a middle."""
    jar = weak(water_pct=None).now()
    keeping = keeping_of(jar, Practice())

    assert keeping.level != "fine"
    for one in keeping.additions:
        added = Part("ethanol", one.ml, one.ethanol_pct_vol)
        wettest = mixture([*parts_to_fortify(jar, wettest=True), added]).ethanol_pct_vol
        assert wettest == pytest.approx(25.0, abs=1e-6)
        assert mixture([*parts_to_fortify(jar), added]).ethanol_pct_vol > 25.0


def test_what_is_fine_only_for_a_drier_herb_is_a_caution():
    for spirit_ml in range(200, 2000, 20):
        jar = weak(water_pct=None, pours=(spirit(float(spirit_ml), 40.0),)).now()
        middle, wettest = (
            mixture(parts_to_fortify(jar, wettest=wet)).ethanol_pct_vol for wet in (False, True)
        )
        level = keeping_of(jar, Practice()).level

        assert (level == "fine") is (wettest >= 25.0)
        if middle >= 25.0 > wettest:
            assert "water was not stated" in keeping_of(jar, Practice()).reason


def test_a_herb_that_was_not_weighed_is_not_judged():
    jar = weak(water_pct=None, herb_g=None, herb_known="unknown").now()

    assert keeping_of(jar, Practice()).level == "unknown"


def test_strong_spirit_on_a_little_herb_is_fine_however_wet_it_was():
    jar = weak(water_pct=None, pours=(spirit(2000.0, 95.0),)).now()

    assert keeping_of(jar, Practice()).level == "fine"
