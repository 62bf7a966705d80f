"""Twelve jars in one command, and a whole shelf shaken in one."""

import pytest

TWELVE = [f"CAOF-25-{number:02d}" for number in range(3, 15)]


def test_one_command_charges_a_class_of_twelve_from_one_lot(worked):
    line = 'charge Calendula --dried 25g --pour "125 ml 45%" --lot F-300 --when 2025-05-01'
    answer = worked.json(f"{line} --count 12")
    charged = worked.lines()[-12:]

    assert [event["code"] for event in answer["recorded"]] == TWELVE
    assert [line["data"]["code"] for line in charged] == TWELVE
    assert len({line["id"] for line in charged}) == 12
    assert {tuple(line["data"]["lots"]) for line in charged} == {("F-300",)}


def test_twelve_of_which_one_code_is_taken_are_none(worked):
    worked.ok('charge Urtica --dried 9g --pour "50 ml 45%" --code CL07 --when 2025-05-01')

    said = worked.refused(
        'charge Melissa --dried 25g --pour "125 ml 45%" --code CL --count 12 --when 2025-05-01'
    )
    assert "CL07: that code is taken" in said


def test_the_whole_shelf_is_shaken_in_one_event(worked):
    """CAOF-25-01 and MEOF-25-01 are pressed by then; the jar of June is not there yet."""
    worked.ok('charge Urtica --dried 9g --pour "50 ml 45%" --code UR-1 --when 2025-06-01')
    worked.ok('charge Urtica --dried 9g --pour "50 ml 45%" --code UR-2 --when 2025-04-01')
    answer = worked.json("shake --all --when 2025-05-01")

    assert [event["code"] for event in answer["recorded"]] == ["CAOF-25-02 UR-2"]
    assert len(worked.lines()[-1]["data"]["jars"]) == 2


def test_a_day_before_the_pressing_the_pressed_jars_were_on_the_shelf_too(worked):
    answer = worked.json("shake --all --when 2025-03-10")

    assert answer["recorded"][0]["code"].split() == ["CAOF-25-01", "CAOF-25-02", "MEOF-25-01"]


def test_only_what_is_due_is_shaken(worked):
    """Shaken daily for fourteen days: on the day of the shake itself nothing more is due."""
    worked.ok("shake CAOF-25-02 --when 2025-03-10")
    before = {one["code"] for one in worked.asked("due --on 2025-03-11") if one["what"] == "shake"}
    on_the_day = worked.json("shake --due --when 2025-03-10")
    after = worked.json("shake --due --when 2025-03-11")

    assert on_the_day["recorded"][0]["code"].split() == ["CAOF-25-01", "MEOF-25-01"]
    assert set(after["recorded"][0]["code"].split()) == before
    assert "CAOF-25-02" in before


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("shake --due --when 2025-03-03", "No shake is due on 3 Mar 2025."),
        ("shake --all --when 2025-03-02", "There is no jar to shake on 2 Mar 2025."),
    ],
)
def test_nothing_to_shake_is_said_and_is_no_failure(worked, line, said):
    before = worked.written()
    done = worked.run(line)

    assert (done.code, done.out, done.err) == (0, "", f"{said}\n")
    assert worked.json(line)["recorded"] == []
    assert worked.written() == before


@pytest.mark.parametrize(
    "line",
    [
        "shake --all CAOF-25-02",
        "shake --due CAOF-25-02",
        "shake --all --due",
        "shake --all --when 2025-03",
        "shake --due --when unknown",
    ],
)
def test_what_is_meant_must_be_plain(worked, line):
    assert "to do:" in worked.refused(line, code=2)


def test_a_jar_discarded_later_stood_on_the_shelf_of_an_earlier_day(worked):
    """What was done that day was done to it as well; after its discard nothing is."""
    worked.ok("discard CAOF-25-02 --why mould --when 2025-05-01")
    answer = worked.json("shake --all --when 2025-03-10")

    assert answer["recorded"][0]["code"].split() == ["CAOF-25-01", "CAOF-25-02", "MEOF-25-01"]
