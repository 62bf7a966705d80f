"""A swelling herb that drank three pours of two spirits. Invented; answers worked by hand.

Left for later, with the kinds that can say it: the crock split in two jars, and the pressing
of one of them; 100 ml drawn off the other and replaced (1:20.6, 57.8 % vol); cost.
"""

from datetime import date

import pytest

from tests.command import Command
from tracker.core.strength import mixture_in

STORY = (
    'charge "pearwort" --part leaf --dried 120g --pour "1500 ml 50%" --least 28d '
    '--code PW --place "the crock" --when 2025-09-01',
    'topup PW --pour "500 ml 75.5%" --when 2025-09-02',
    'topup PW --pour "250 ml 75.5%" --when 2025-09-04',
)


@pytest.fixture(scope="module")
def crock(tmp_path_factory):
    """The command after the third pour, and what each line answered."""
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
    (charged,) = crock.bench().jars(on=date(2025, 9, 4))

    assert jar["strength_pct_vol"] == pytest.approx(58.6, abs=0.1)
    assert jar["strength_simple_pct_vol"] == pytest.approx(58.5, abs=0.1)
    # Worked to a whole millilitre: 2246.
    assert mixture_in(charged).volume_ml == pytest.approx(2246, abs=0.6)


def test_a_top_up_echoes_the_new_sums(crock):
    assert "2250.0 ml in all" in crock.said[2]
    assert "1:18.8" in crock.said[2]
    assert "58.6 % vol" in crock.said[2]


def test_topping_up_moves_no_date(crock):
    jar = crock.asked("show PW")

    assert jar["charged"] == "2025-09-01"
    assert jar["earliest_press"] == "2025-09-29"
