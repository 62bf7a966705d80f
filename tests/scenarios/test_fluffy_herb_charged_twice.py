"""Fluffy herb, pressed for a second charge. Invented; answers worked by hand.

Left for later, with the kinds that can say it: made up with 48 ml to 300 ml; new herb in the
old liquor (`recharged`: ready 2 Mar, reckoned 1:5.43, good through from 5 Mar); new menstruum
on the old marc (`steeped again`, another kind, never reported as 1:5).
"""

import pytest

from tests.command import Command

STORY = (
    'charge "sunmallow" --part flower --dried 30g --pour "300 ml 50%" --least 14d '
    "--ratio 1:10 --code SM1 --when 2025-02-01",
    "press SM1 252ml --by hand --when 2025-02-16",
)


@pytest.fixture(scope="module")
def fluffy(tmp_path_factory):
    """The command after the first steep."""
    command = Command(tmp_path_factory.mktemp("fluffy")).practice('zone = "Europe/Berlin"\n')
    for line in STORY:
        command.ok(line)
    return command


def test_the_first_steep_is_one_to_ten_and_ready_after_14_days(fluffy):
    jar = fluffy.asked("show SM1 --on 2025-02-15")

    assert jar["ratio"] == pytest.approx(10.0)
    assert jar["strength_pct_vol"] == pytest.approx(50.0, abs=0.1)
    assert (jar["earliest_press"], jar["ready"]) == ("2025-02-15", True)


def test_the_marc_held_back_1_6_ml_per_g(fluffy):
    liquor = fluffy.asked("show SM1A --on 2025-02-16")

    assert liquor["held_ml_per_g"] == pytest.approx(1.6)
    # 252 ml of a 1:10 stand for 25.2 g: the yield does not change the ratio.
    assert liquor["volume_ml"] / liquor["ratio"] == pytest.approx(25.2)


def test_a_second_pressing_of_the_same_steep_is_refused(fluffy):
    """It would be a recharge or a second steep, which are two different things."""
    message = fluffy.refused("press SM1 249ml --by hand --when 2025-03-05")

    assert "already pressed, on 2025-02-16" in message
