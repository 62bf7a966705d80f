"""Fresh herb in strong spirit, in ounces: no shaking, and more pressed than was poured.

Invented; answers worked by hand. 1 US fl oz = 29.5735 ml, 1 oz = 28.3495 g; 190 US proof is
95 % vol. Strengths by mass balance with contraction (OIML R 22), at 20 °C.

The ratio in ounces to fluid ounces and which jar would fit are asked of `size`, in
tests/cli/verbs/test_measuring.py.
"""

from datetime import date

import pytest

from tests.command import Command
from tests.mornings import days, due_at_eight
from tracker.core.reckoning.amounts import dry_herb_g, herb_water_ml

FL_OZ = 29.5735
STORY = (
    'charge "glowberry" --part tops --fresh "12 oz" --water 75% --pour "24 fl oz 190 proof" '
    "--least 10d --shake none --code GB1 --when 2025-06-21",
    "look GB1 --sign level --verdict watch --when 2025-06-22",
    'top-up GB1 --pour "2 fl oz 190 proof" --when 2025-06-22',
)
LATER = (
    'press GB1 "28.5 fl oz" --when 2025-07-01',
    'filter GB1A "27.9 fl oz" --when 2025-07-02',
    'bottle GB1A "6 x 4 oz" "1 x 2 oz" "1 x 1 oz" --when 2025-07-02',
)


@pytest.fixture(scope="module")
def tops(tmp_path_factory):
    """The command after the whole story; what it said to 35 fl oz is kept."""
    command = Command(tmp_path_factory.mktemp("tops"), zone="America/Chicago")
    command.practice('zone = "America/Chicago"\n')
    command.charged, *_ = [command.ok(line) for line in STORY]
    command.too_much = command.refused('press GB1 "35 fl oz" --when 2025-07-01')
    for line in LATER:
        command.ok(line)
    return command


def test_what_was_understood_is_echoed_in_grams_and_millilitres(tops):
    assert "12 oz (340 g)" in tops.charged
    assert "710 ml" in tops.charged
    assert "95 %" in tops.charged


def test_the_water_of_the_herb_weakens_the_spirit(tops):
    jar = tops.asked("show GB1 --on 2025-06-21")
    (charged,) = tops.bench().jars(on=date(2025, 6, 21))

    assert jar["herb_g"] == pytest.approx(340.2, abs=0.1)
    assert herb_water_ml(charged) == pytest.approx(255.6, abs=0.1)
    assert dry_herb_g(charged) == pytest.approx(85.0, abs=0.1)
    assert jar["dry_herb_g"] == pytest.approx(85.0, abs=0.1)
    assert jar["ratio_dry"] == pytest.approx(11.1, abs=0.05)
    assert jar["ratio"] == pytest.approx(2.09, abs=0.005)
    assert jar["strength_pct_vol"] == pytest.approx(71.5, abs=0.1)
    assert jar["strength_simple_pct_vol"] == pytest.approx(69.9, abs=0.1)


def test_the_top_up_changes_ratio_and_strength_but_not_the_dates(tops):
    before, after = (tops.asked(f"show GB1 --on 2025-06-{day}") for day in (21, 22))

    assert after["poured_ml"] == pytest.approx(768.9, abs=0.1)
    assert after["ratio"] == pytest.approx(2.26, abs=0.005)
    assert after["ratio_dry"] == pytest.approx(11.8, abs=0.05)
    assert "1:11.8" in tops.ok("show GB1 --on 2025-06-22")
    assert after["strength_pct_vol"] == pytest.approx(73.0, abs=0.1)
    assert after["strength_simple_pct_vol"] == pytest.approx(71.3, abs=0.1)
    assert before["earliest_press"] == after["earliest_press"] == "2025-07-01"


def test_the_level_is_asked_for_once_and_no_shake_ever(tops):
    mornings = {
        str(day): {code: line.what for code, line in due_at_eight(tops, day).items()}
        for day in days("2025-06-22", "2025-07-01")
    }

    assert mornings.pop("2025-06-22") == {"GB1": "look"}
    assert mornings.pop("2025-07-01") == {"GB1": "look"}
    assert due_at_eight(tops, date(2025, 7, 1))["GB1"].also.what == "ready"
    # Watched on the 22nd: to look at again from the 25th, since no look came.
    assert list(mornings.values()) == [{}] * 2 + [{"GB1": "look"}] * 6
    assert tops.asked("due --on 2025-06-22") == []  # after that day's look and top-up


def test_more_than_ever_went_in_is_refused_with_the_bound(tops):
    jar = tops.asked("show GB1 --on 2025-06-30")

    assert "1024.5 ml" in tops.too_much
    assert jar["hard_bound_ml"] == pytest.approx(1024.5, abs=0.1)


def test_more_than_was_poured_can_be_pressed_from_fresh_herb(tops):
    extract = tops.asked("show GB1A --on 2025-07-02")

    assert extract["pressed_ml"] == pytest.approx(842.8, abs=0.1)
    assert extract["pressed_ml"] > extract["poured_ml"]
    assert extract["days_on_herb"] == 10
    assert extract["ratio"] == pytest.approx(2.26, abs=0.005)
    assert extract["flags"] == []


def test_27_fluid_ounces_are_bottled_and_nine_tenths_of_one_stay(tops):
    (extract,) = tops.asked("stock --on 2025-07-02")

    assert extract["filter_loss_ml"] == pytest.approx(0.6 * FL_OZ, abs=0.1)
    assert extract["bottled_ml"] == pytest.approx(27 * FL_OZ, abs=0.1)
    assert extract["volume_ml"] == pytest.approx(0.9 * FL_OZ, abs=0.1)
    assert [round(one["size_ml"] / FL_OZ) for one in extract["bottles"]] == [4] * 6 + [2, 1]
