"""The same marc pressed once more into the same extract, and what that meets."""

import shutil

import pytest

from tests.command import Command

CHARGE = 'charge "Calendula officinalis" --dried 100g --water 0% --pour "500 ml 45%" --code HB1'


@pytest.fixture
def pressed(command: Command) -> Command:
    """100 g in 500 ml, of which 370 ml were pressed by hand."""
    command.ok(f"{CHARGE} --when 2025-03-03")
    command.ok("press HB1 370ml --with hand --when 2025-06-03")
    return command


def extract(command: Command, code: str = "HB1A") -> dict:
    return command.json(f"show {code} --on 2025-07-01")


def test_what_the_marc_gave_the_next_day_goes_into_the_same_extract(pressed):
    """410 of 500 ml came out of 100 g: the marc holds 0.9 ml a gram."""
    before = extract(pressed)
    said = pressed.ok("press HB1 40ml --again --when 2025-06-04")
    after = extract(pressed)
    shown = pressed.ok("show HB1A --on 2025-07-01")

    assert (after["pressed_ml"], after["pressed_again_ml"], after["volume_ml"]) == (410, 40, 410)
    assert after["held_ml_per_g"] == pytest.approx(0.9)
    for same in ("herb_g", "good_through", "pressed", "ratio", "strength_pct_vol"):
        assert after[same] == before[same], same
    assert "410 ml in all of 500 ml poured; the marc held 0.9 ml per g" in said
    assert "410 ml by hand, 40 ml of it pressed again" in shown
    assert len(pressed.json("show HB1 --on 2025-07-01")["flags"]) == 0


def test_it_may_be_said_of_the_extract_as_well(pressed):
    pressed.ok("press HB1A 40ml --again --when 2025-06-04")

    assert extract(pressed)["volume_ml"] == 410


def test_no_more_than_ever_went_in_comes_out_of_both(pressed):
    """500 ml, and at most 15 g of water in 100 g of dried herb."""
    refused = pressed.refused("press HB1 150ml --again --when 2025-06-04")

    assert "more than ever went in" in refused


def test_a_yield_that_is_odd_is_so_by_the_sum(pressed):
    said = pressed.ok("press HB1 125ml --again --when 2025-06-04")

    assert "would be usual: ml or oz?" in said


def test_a_second_press_points_to_it(pressed):
    assert "press HB1 40ml --again" in pressed.refused("press HB1 40ml --when 2025-06-04")


@pytest.mark.parametrize("line", ["press HB1 40ml --again", "press HB1A 40ml --again"])
def test_of_marc_that_was_steeped_again_it_is_refused(pressed, line):
    pressed.ok('steep-again HB1 --pour "300 ml 45%" --when 2025-06-04')

    assert pressed.refused(f"{line} --when 2025-06-05")


def test_of_herb_that_is_still_in_it_is_refused(command):
    command.ok(f"{CHARGE} --when 2025-03-03")

    assert "its herb was not pressed" in command.refused("press HB1 40ml --again")


def test_marc_that_was_composted_is_asked_about(command):
    command.ok(f"{CHARGE} --when 2025-03-03")
    command.ok("press HB1 370ml --marc composted --when 2025-06-03")

    assert "its marc was composted" in command.refused("press HB1 40ml --again --when 2025-06-04")
    command.ok("press HB1 40ml --again --when 2025-06-04 --sure")


@pytest.mark.parametrize("option", ["--marc kept", "--keeps 6m"])
def test_what_is_said_of_the_first_pressing_is_not_said_again(pressed, option):
    assert "first pressing" in pressed.refused(f"press HB1 40ml --again {option}", code=2)


def test_what_was_diluted_and_bottled_meanwhile_takes_it_into_the_bulk(pressed):
    """100 ml bottled of 370; 270 + 130 of water are 400 ml, then 40 ml more of 45 %."""
    pressed.ok("bottle HB1A 1x100ml --when 2025-06-03")
    pressed.ok('dilute HB1A --pour "130 ml water" --when 2025-06-03')
    pressed.ok("press HB1 40ml --again --when 2025-06-04")
    bulk, bottle = extract(pressed), extract(pressed, "HB1A/1")

    assert bulk["volume_ml"] == pytest.approx(440.0)
    assert bulk["herb_g"] == pytest.approx(100 * (270 + 40) / 500)
    assert bulk["strength_simple_pct_vol"] == pytest.approx(45 * 310 / 440, abs=0.05)
    assert bottle["herb_g"] == pytest.approx(100.0)
    assert bottle["strength_pct_vol"] == pytest.approx(45.0, abs=0.1)


def test_by_finished_volume_it_counts_for_the_same_herb(command):
    command.ok(f"{CHARGE} --finished --when 2025-03-03")
    command.ok("press HB1 370ml --when 2025-06-03")
    command.ok("bottle HB1A 1x100ml --when 2025-06-03")
    command.ok("press HB1 40ml --again --when 2025-06-04")

    assert command.json("show HB1 --on 2025-07-01")["ratio"] == pytest.approx(4.1)
    # 270 of the 370 ml were for 73 g of herb, and so are the 310 ml in bulk
    assert extract(command)["ratio"] == pytest.approx(310 / (100 * 270 / 370), abs=0.001)
    assert extract(command, "HB1A/1")["ratio"] == pytest.approx(3.7)


def test_the_cost_is_spread_over_more(command):
    """5.00 for 370 ml, then for 410."""
    command.ok(f"{CHARGE} --paid 5.00 --when 2025-03-03")
    command.ok("press HB1 370ml --when 2025-06-03")
    command.ok("press HB1 40ml --again --when 2025-06-04")
    (line,) = command.json("stock --on 2025-06-05")

    assert line["cost"] == "5.00"


# Crossings


def test_a_correction_of_the_first_volume_leaves_the_second_standing(pressed):
    first = pressed.event("pressed")
    pressed.ok("press HB1 40ml --again --when 2025-06-04")
    pressed.ok(f"correct {first} --set volume=350ml --why misread")

    assert extract(pressed)["volume_ml"] == 390
    said = pressed.run(f"correct {first} --set volume=500ml --why misread --sure")
    assert "40 ml more" in said.out + said.err or "more than" in said.out + said.err


def test_with_the_first_pressing_struck_it_counts_no_longer(pressed):
    first = pressed.event("pressed")
    pressed.ok("press HB1 40ml --again --when 2025-06-04")
    said = pressed.run(f"strike {first} --why 'never was' --sure")
    jar = pressed.json("show HB1 --on 2025-07-01")

    assert said.code == 0, said.err
    assert jar["state"] == "ready"
    assert any("pressed again" in flag for flag in jar["flags"])


def test_struck_it_is_as_before(pressed):
    pressed.ok("press HB1 40ml --again --when 2025-06-04")
    pressed.ok(f"strike {pressed.event('pressed_again')} --why 'never was'")

    assert (extract(pressed)["volume_ml"], extract(pressed)["pressed_again_ml"]) == (370, 0)


def test_undone_it_is_as_before(pressed):
    pressed.ok("press HB1 40ml --again --when 2025-06-04")
    pressed.ok("press HB1 5ml --again --when 2025-06-05")
    pressed.ok(f"strike {pressed.event('pressed_again')} --why 'never was'")

    assert extract(pressed)["volume_ml"] == 410


@pytest.mark.parametrize("code", ["HB1", "HB1A"])
def test_on_hold_nothing_is_pressed_again(pressed, code):
    pressed.ok(f"hold {code} --why cloudy --when 2025-06-03")

    assert "on hold" in pressed.refused("press HB1 40ml --again --when 2025-06-04")


def test_the_next_steep_begins_with_what_the_marc_kept_then(pressed):
    """500 − 410 ml."""
    pressed.ok("press HB1 40ml --again --when 2025-06-04")
    said = pressed.ok('steep-again HB1 --pour "300 ml 45%" --when 2025-06-05')

    assert "390 ml" in said


def test_a_day_back_before_the_marc_was_steeped_again_it_counts(pressed):
    pressed.ok('steep-again HB1 --pour "300 ml 45%" --when 2025-06-05')
    pressed.ok("press HB1A 40ml --again --when 2025-06-04")

    assert extract(pressed)["volume_ml"] == 410
    assert command_flags(pressed) == []


def command_flags(command: Command) -> list[str]:
    return command.json("show HB1 --on 2025-07-01")["flags"]


def test_what_was_steeped_again_apart_leaves_it_standing_and_flagged(pressed, tmp_path):
    """Two writers of one book: one steeps the marc again, the other presses it a day later."""
    other = Command(tmp_path / "b", writer="loft")
    shutil.copytree(pressed.book, other.book)
    pressed.ok('steep-again HB1 --pour "300 ml 45%" --when 2025-06-04')
    other.ok("press HB1 40ml --again --when 2025-06-05")
    for path in (other.book / "events").glob("loft*"):
        (pressed.book / "events" / path.name).write_bytes(path.read_bytes())

    assert extract(pressed)["volume_ml"] == 370
    assert any("no longer that of this extract" in flag for flag in command_flags(pressed))


def test_trace_record_and_history_have_it_with_its_day(pressed):
    pressed.ok("press HB1 40ml --again --when 2025-06-04")
    trace = pressed.ok("trace HB1")
    record = pressed.ok("record HB1")

    assert "370 ml" in trace
    assert "40 ml" in trace
    assert "410 ml, 40 ml of it pressed again later" in record
    assert "82 % of 500 ml" in record
    assert "pressed again 40 ml" in pressed.told("history HB1")
