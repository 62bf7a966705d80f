"""A swelling herb that drank three pours of two spirits. Invented; answers worked by hand.

The crock is split in two jars; one is pressed and bottled, of the other 100 ml are drawn off
early and replaced. The herb cost 5.00 and the two spirits 60.00 and 35.00, 95.00 in all.

Dried herb is stated to have no water: the answers count it as dry.
"""

from datetime import date

import pytest

from tests.command import Command
from tracker.core.reckoning.strength import mixture_in

STORY = (
    "buy pearwort --part leaf --dried 120g --paid 5.00 --when 2025-08-28",
    'buy "1500 ml 50%" --paid 60.00 --when 2025-08-28',
    'buy "750 ml 75.5%" --paid 35.00 --when 2025-08-28',
    'charge LOT-25-01 --dried 120g --water 0% --pour "1500 ml LOT-25-02" --least 28d '
    '--code PW --place "the crock" --when 2025-09-01',
    'top-up PW --pour "500 ml LOT-25-03" --when 2025-09-02',
    'top-up PW --pour "250 ml LOT-25-03" --when 2025-09-04',
    "split PW --into 2 --code PA --code PB --when 2025-09-04",
    "press PA 1030ml --with hand --when 2025-10-04",
    "filter PAA 1010ml --when 2025-10-05",
    "bottle PAA 20x50ml@0.80 --when 2025-10-05",
    "draw PB 100ml --when 2025-10-20",
    'top-up PB --pour "100 ml 50%" --when 2025-10-20',
)


@pytest.fixture(scope="module")
def crock(tmp_path_factory):
    """The command after the whole story, and what each line answered."""
    command = Command(tmp_path_factory.mktemp("crock")).practice('zone = "Europe/Berlin"\n')
    command.said = [command.ok(line) for line in STORY]
    return command


def test_the_ratio_counts_every_pour(crock):
    """1:12.5 counts the first pour only; 1:20 is what a finished volume would suggest."""
    poured = [crock.asked(f"show PW --on 2025-09-0{day}") for day in (1, 2, 4)]

    assert [one["poured_ml"] for one in poured] == pytest.approx([1500, 2000, 2250])
    assert poured[0]["ratio"] == pytest.approx(12.5)
    assert poured[2]["ratio"] == pytest.approx(18.75)


def test_the_strength_is_a_mass_balance_with_contraction(crock):
    jar = crock.asked("show PW")
    (crocked,) = [one for one in crock.bench().jars(on=date(2025, 9, 4)) if one.code == "PW"]

    assert jar["strength_pct_vol"] == pytest.approx(58.6, abs=0.1)
    assert jar["strength_simple_pct_vol"] == pytest.approx(58.5, abs=0.1)
    # Worked to a whole millilitre: 2246.
    assert mixture_in(crocked).volume_ml == pytest.approx(2246, abs=0.6)


def test_a_top_up_echoes_the_new_sums(crock):
    third = crock.said[5]

    assert "2250 ml in all" in third
    assert "1:18.8" in third
    assert "58.6 % vol" in third


def test_topping_up_moves_no_date(crock):
    jar = crock.asked("show PW")

    assert jar["charged"] == "2025-09-01"
    assert jar["earliest_press"] == "2025-09-29"


@pytest.mark.parametrize("code", ["PA", "PB"])
def test_half_of_the_crock_is_half_of_everything_but_the_days(crock, code):
    jar = crock.asked(f"show {code} --on 2025-09-29")

    assert jar["herb_g"] == pytest.approx(60.0)
    assert jar["volume_ml"] == pytest.approx(1125, abs=0.1)
    assert jar["ratio"] == pytest.approx(18.75)
    assert jar["strength_pct_vol"] == pytest.approx(58.6, abs=0.1)
    assert (jar["charged"], jar["earliest_press"]) == ("2025-09-01", "2025-09-29")
    assert (jar["ready"], jar["flags"]) == (True, [])


def test_the_empty_crock_wants_nobody_any_more(crock):
    shelf = {jar["code"] for jar in crock.asked("shelf --on 2025-09-29")}

    assert shelf == {"PA", "PB"}
    assert crock.asked("show PW --on 2025-09-29")["state"] == "split"


def test_the_marc_of_one_half_held_1_58_ml_per_g_as_by_hand(crock):
    """1011 to 1065 ml by hand: 1.0 to 1.9 ml/g, common practice, no source."""
    extract = crock.asked("show PAA --on 2025-10-05")
    pressed = next(said for said in crock.said if "pressed 1030 ml" in said)

    # (1125 - 1030) / 60
    assert extract["held_ml_per_g"] == pytest.approx(1.583, abs=0.001)
    assert extract["possible_ml"] == {"from": 1011.0, "to": 1065.0}
    assert "usual" not in pressed
    assert extract["filter_loss_ml"] == pytest.approx(20)
    assert extract["bottled_ml"] == pytest.approx(1000)
    assert extract["volume_ml"] == pytest.approx(10, abs=0.1)


def test_what_is_drawn_off_takes_its_share_of_the_herb_along(crock):
    """100 / 1125 of 60 g is 5.33 g; 54.67 g stay, in 1125 ml again: 1:20.6, not 1:18.75."""
    drawn, jar = (crock.asked(f"show {code} --on 2025-10-20") for code in ("PBA", "PB"))

    assert drawn["volume_ml"] == pytest.approx(100, abs=0.1)
    assert drawn["herb_g"] == pytest.approx(5.33, abs=0.005)
    assert drawn["ratio"] == pytest.approx(18.75)
    assert jar["herb_g"] == pytest.approx(54.67, abs=0.005)
    assert jar["volume_ml"] == pytest.approx(1125, abs=0.1)
    assert jar["ratio"] == pytest.approx(20.6, abs=0.05)
    assert jar["strength_pct_vol"] == pytest.approx(57.8, abs=0.1)
    # 683.3 ml at 50 %, 341.7 ml at 75.5 % and 100 ml at 50 % over 1125 ml.
    assert jar["strength_simple_pct_vol"] == pytest.approx(57.74, abs=0.01)


def test_what_becomes_of_one_half_says_nothing_of_the_other(crock):
    extract = crock.asked("show PAA --on 2025-10-21")

    assert extract["ratio"] == pytest.approx(18.75)
    assert extract["strength_pct_vol"] == pytest.approx(58.6, abs=0.1)


def test_the_cost_is_shared_as_the_crock_is(crock):
    halves = [crock.asked(f"show {code} --on 2025-09-04")["cost"] for code in ("PA", "PB")]

    assert halves == ["50.00", "50.00"]  # (5.00 + 95.00) / 2


def test_what_marc_and_filter_kept_is_paid_by_the_rest(crock):
    """50.00 over 1010 ml are 0.0495; 50 ml of it 2.475, and 0.80 for the glass: 3.28."""
    extract, bottle = (crock.asked(f"show {code} --on 2025-10-05") for code in ("PAA", "PAA/1"))

    assert float(extract["cost_per_ml"]) == pytest.approx(0.0495, abs=0.00005)
    assert extract["cost"] == "50.00"
    assert bottle["cost"] == "2.48"
    assert bottle["cost_with_bottles"] == "3.28"


def test_both_spirits_and_the_herb_are_used_up(crock):
    lots = {lot["code"]: lot for lot in crock.asked("lots --all")}

    assert [lots[f"LOT-25-0{number}"]["used"] for number in (1, 2, 3)] == [120, 1500, 750]
    assert [lots[f"LOT-25-0{number}"]["left"] for number in (1, 2, 3)] == [0, 0, 0]
