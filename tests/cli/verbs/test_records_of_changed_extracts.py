"""The batch record of an extract that changed after it was pressed, from outside."""

import pytest


@pytest.fixture
def rosemary(command):
    """An extract with two bottles of it, pressed at some 69 % vol."""
    command.ok(
        "charge rosemary --part leaf --dried 100g --pour '500 ml 70%' --least 21d --code RO-1 "
        "--when 2026-01-12 --sure"
    )
    command.ok("press RO-1 420ml --when 2026-02-14 --sure")
    command.ok("bottle RO-1A 2x50ml --when 2026-02-15 --sure")
    return command


def test_a_bottle_refilled_from_its_own_extract_adds_nothing_and_passes_nothing_on(rosemary):
    """Else the share of the possible yield would be left out, as if something else went in."""
    rosemary.ok("dispense RO-1A/1 20ml --for C01 --when 2026-02-16 --sure")
    rosemary.ok("refill RO-1A/1 --when 2026-02-17 --sure")

    (one,) = rosemary.json("record RO-1")["yields"]
    said = " ".join(rosemary.ok("record RO-1").split())

    assert (one["added_ml"], one["passed_on_ml"]) == (0.0, 0.0)
    assert (one["bulk_ml"], one["bottled_ml"], one["dispensed_ml"]) == (300.0, 100.0, 20.0)
    assert one["pct_of_possible"] == pytest.approx(420 / one["possible_ml"] * 100, abs=0.1)
    assert "420 ml = given out 20 ml + in bulk 300 ml + in bottles 100 ml" in said
