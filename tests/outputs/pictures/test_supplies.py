"""Stock through time: steps on the days something was done, reckoned by hand."""

import pytest

from tracker.outputs.pictures.supply.supply_lines import digits

pytestmark = pytest.mark.thorough


def of_melissa(command, line):
    (found,) = [one for one in command.asked(line) if "Melissa" in one["herb"]]
    return found


def a_lot(command):
    """A lot of lemon balm that was bought."""
    command.ok('buy "Melissa officinalis" --part leaf --dried 500g --when 2024-12-01')
    (lot,) = (one["code"] for one in command.asked("lots"))
    return lot


def test_stock_falls_on_the_day_something_is_given_out(told):
    melissa = of_melissa(told, "supply --months 6 --on 2025-07-01")

    assert [(one["day"], one["volume_ml"]) for one in melissa["levels"]] == [
        ("2025-01-31", 0),
        ("2025-02-01", 400),
        ("2025-04-10", 340),
        ("2025-06-10", 280),
        ("2025-07-01", 280),
    ]


def test_it_runs_out_on_the_day_reckoned_by_hand(told):
    """120 ml in the 150 days since 1 February is 0.8 ml a day; 280 ml last 350 days."""
    (melissa,) = [one for one in told.asked("supply --on 2025-07-01") if "Melissa" in one["herb"]]

    assert melissa["used_ml"] == 120
    assert melissa["ml_a_month"] == round(0.8 * 365.25 / 12 + 1e-9, 1)
    assert melissa["runs_out"] == "2026-06-16"
    assert melissa["good_through"] == "2026-02-01"
    assert "good through 1 Feb 26" in told.ok("supply --on 2025-07-01")


def test_what_is_past_its_day_is_no_supply(told):
    (melissa,) = [one for one in told.asked("supply --on 2026-02-02") if "Melissa" in one["herb"]]

    assert melissa["volume_ml"] == 0
    assert (melissa["runs_out"], melissa["good_through"]) == (None, None)


def test_what_goes_past_its_date_leaves_the_stock_the_day_after(told):
    melissa = of_melissa(told, "supply --on 2026-03-01")
    levels = [(one["day"], one["volume_ml"], one["past_ml"]) for one in melissa["levels"]]

    assert levels[-2:] == [("2026-02-02", 0, 280), ("2026-03-01", 0, 280)]
    assert melissa["none_since"] == "2026-02-02"
    assert "lemon balm: none in date since 2 Feb 2026." in told.ok("supply --on 2026-03-01")


def test_no_herb_that_was_ever_in_stock_is_left_out(told):
    told.ok("dispense A1A 280ml --when 2025-08-05")

    assert "lemon balm: none left since 5 Aug 2025." in told.ok("supply --on 2025-09-01")
    later = told.ok("supply --months 2 --on 2026-09-01")
    assert "lemon balm: none left since before 31 Jul 2026." in later
    told.ok("supply --months 2 --on 2026-09-01 --to supply.svg")
    assert "none left since before 31 Jul 2026" in (told.home / "supply.svg").read_text()


def test_what_is_on_hold_is_no_supply_to_be_used_up(told):
    told.ok('hold A1A --why "cloudy" --when 2025-06-25')
    melissa = of_melissa(told, "supply --on 2025-07-01")
    text = told.ok("supply --on 2025-07-01")

    assert (melissa["volume_ml"], melissa["on_hold_ml"]) == (280, 280)
    assert melissa["runs_out"] is None
    assert [(one["day"], one["on_hold_ml"]) for one in melissa["levels"]][-2:] == [
        ("2025-06-25", 280),
        ("2025-07-01", 280),
    ]
    assert "all of it on hold" in text
    assert "lemon balm: 280 ml on hold, none of it may be given out." in text


def test_a_recall_is_in_the_stock_of_what_it_reaches(command):
    command.practice('zone = "Europe/Berlin"\n')
    lot = a_lot(command)
    command.ok(
        f'charge {lot} --dried 100g --pour "500 ml 45%" --least 28d --code A1 --when 2025-01-01'
    )
    command.ok("press A1 400ml --with hand --when 2025-02-01")
    command.ok(f'recall {lot} --why "mites" --when 2025-03-01')
    (melissa,) = command.asked("supply --on 2025-04-01")

    assert (melissa["volume_ml"], melissa["on_hold_ml"]) == (400, 400)
    assert melissa["recalled"] == ["A1"]


def test_a_corrected_volume_and_a_struck_press_are_in_every_step(told):
    told.ok(f'correct {told.event("dispensed", 0)} --set volume=100ml --why "misread"')
    volumes = [one["volume_ml"] for one in of_melissa(told, "supply --on 2025-07-01")["levels"]]
    assert volumes == [0, 400, 300, 240, 240]

    for number in (0, 1):
        told.ok(f'strike {told.event("dispensed", number)} --why "x"')
    told.ok(f'strike {told.event("pressed", 0)} --why "not yet"')
    assert not [one for one in told.asked("supply --on 2025-07-01") if "Melissa" in one["herb"]]


def test_a_blend_and_a_refill_move_stock_on_their_day(told):
    told.ok("bottle A1A 1x100ml --when 2025-05-01")
    told.ok("dispense A1A/1 100ml --when 2025-06-20")
    told.ok("refill A1A/1 --from A1A --volume 80ml --when 2025-06-21")
    told.ok('blend --part "40 ml A1A" --part "60 ml B1A" --code M1 --when 2025-06-25')
    every = {one["herb"]: one for one in told.asked("supply --on 2025-07-01")}
    both = every["Inula helenium + Melissa officinalis"]

    assert [(one["day"], one["volume_ml"]) for one in both["levels"]][-2:] == [
        ("2025-06-25", 100),
        ("2025-07-01", 100),
    ]
    assert every["Melissa officinalis"]["volume_ml"] == 400 - 60 - 60 - 100 - 40


def test_some_of_no_known_date_is_said(told):
    told.ok(
        'charge "Melissa officinalis" --dried 100g --pour "500 ml 45%" --least 28d --code C1'
        " --when unknown"
    )
    told.ok("press C1 200ml --with hand --when unknown")
    melissa = of_melissa(told, "supply --on 2025-07-01")

    assert melissa["undated_ml"] == 200
    assert "lemon balm: 200 ml of no known date." in told.ok("supply --on 2025-07-01")


def test_digits_say_how_much_of_the_most_there_was():
    assert digits([0, 1, 60, 100], 100) == ".159"
    assert digits([100], 200) == "4"
    assert digits([], 0) == ""


@pytest.mark.parametrize("columns", [40, 60, 80])
def test_the_supply_fits_the_screen(told, columns):
    told.env["COLUMNS"] = str(columns)
    text = told.ok("supply --on 2025-07-01")

    assert max(map(len, text.splitlines())) <= columns
