"""Fluffy herb charged twice: new herb in the old extract. Invented; answers worked by hand.

The first extract is 1:10. Of 30 g in 300 ml, 252 ml stand for 25.2 g; made up with 48 ml to
300 ml and put on 30 g of new herb, 300 ml stand for 55.2 g: 1:5.43. All menstruum over all
herb, 348 ml / 60 g, would say 1:5.8 and be wrong: some of both stayed in the first marc.

Dried herb is stated to have no water: the answers count it as dry.
"""

import pytest

from tests.command import Command

STORY = (
    'charge "sunmallow" --part flower --dried 30g --water 0% --pour "300 ml 50%" --least 14d '
    "--ratio 1:10 --code SM1 --when 2025-02-01",
    "press SM1 252ml --with hand --when 2025-02-16",
    'dilute SM1A --to 300ml --pour "48 ml 50%" --when 2025-02-16',
    'recharge SM1A --dried 30g --water 0% --ratio 1:5 --note "charged twice" --when 2025-02-16',
    "press SM1 249ml --with hand --when 2025-03-05",
)


@pytest.fixture(scope="module")
def fluffy(tmp_path_factory):
    """The command after both steeps, and what each line answered."""
    command = Command(tmp_path_factory.mktemp("fluffy")).practice('zone = "Europe/Berlin"\n')
    command.said = [command.ok(line) for line in STORY]
    return command


def test_the_first_steep_is_one_to_ten_and_ready_after_14_days(fluffy):
    jar = fluffy.asked("show SM1 --on 2025-02-15")

    assert jar["ratio"] == pytest.approx(10.0)
    assert jar["strength_pct_vol"] == pytest.approx(50.0, abs=0.1)
    assert (jar["earliest_press"], jar["ready"]) == ("2025-02-15", True)


def test_the_first_marc_held_back_1_6_ml_per_g(fluffy):
    assert "held 1.6 ml per g" in fluffy.said[1]


def test_the_second_steep_runs_14_days_from_the_second_charge(fluffy):
    before, then = (fluffy.asked(f"show SM1 --on 2025-03-0{day}") for day in (1, 2))

    assert then["earliest_press"] == "2025-03-02"
    assert (before["ready"], then["ready"]) == (False, True)
    assert then["charged"] == "2025-02-01"
    assert then["days_on_herb"] == 14


def test_old_extract_on_new_herb_is_reckoned_by_what_both_stand_for(fluffy):
    jar = fluffy.asked("show SM1 --on 2025-03-02")
    shown = fluffy.ok("show SM1 --on 2025-03-02")

    assert jar["herb_g"] == pytest.approx(25.2 + 30, abs=0.05)
    assert jar["poured_ml"] == pytest.approx(300, abs=0.1)
    assert jar["ratio"] == pytest.approx(5.43, abs=0.006)
    assert jar["strength_pct_vol"] == pytest.approx(50.0, abs=0.1)
    assert jar["ratio_meant"] == "1:5"
    assert "1:5.43 by menstruum poured (meant 1:5" in shown
    assert "1:5.8" not in shown


def test_the_new_marc_held_back_1_7_ml_per_g(fluffy):
    """51 ml of 300 on the 30 g that lie in the jar, not on the 55.2 g it stands for."""
    extract = fluffy.asked("show SM1B --on 2025-03-05")

    assert extract["held_ml_per_g"] == pytest.approx(1.7, abs=0.005)
    assert extract["strength_pct_vol"] == pytest.approx(50.0, abs=0.1)
    assert extract["ratio"] == pytest.approx(5.43, abs=0.006)
    assert extract["flags"] == []


def test_the_shelf_life_runs_from_the_last_pressing(fluffy):
    """A year on the shelf unless the maker says otherwise."""
    stock = {one["code"]: one for one in fluffy.asked("stock --on 2025-03-05")}

    assert stock["SM1B"]["good_through"] == "2026-03-05"
    assert "SM1A" not in stock  # all of it went back on the herb
    assert fluffy.asked("show SM1A --on 2025-03-05")["state"] == "empty"


def test_new_menstruum_on_the_old_marc_is_another_kind_and_says_no_ratio(fluffy):
    line = 'steep-again SM1 --pour "150 ml 50%" --when 2025-03-05'
    said = fluffy.ok(line, "--dry-run")
    recorded = fluffy.json(line, "--dry-run")["recorded"]

    assert "on the old marc" in said
    assert "1:5" not in said
    assert [one["kind"] for one in recorded] == ["steeped_again"]


def test_a_third_pressing_of_the_second_steep_is_refused(fluffy):
    message = fluffy.refused("press SM1 100ml --with hand --when 2025-03-06")

    assert "already pressed on 5 Mar 2025" in message
