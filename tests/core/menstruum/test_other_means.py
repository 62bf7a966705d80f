"""Acid, sugar, glycerin and dryness: how much of them keeps, by the limits in docs/menstruum.md."""

import pytest

from tracker.core.menstruum.preservation import NOTHING_BELOW, other_means


@pytest.mark.parametrize(
    "volumes_ml",
    [
        {"vinegar": 100.0},
        {"vinegar": 60.0, "water": 40.0},  # 60 % and more: common practice, no source
        {"glycerin": 60.0, "water": 40.0},  # a usual glycerite: common practice, no source
        {"syrup": 100.0},  # 66.7 % sugar by mass, from memory, is above 65
        {"honey": 100.0},  # 82 % sugar, from memory, is above 75
        {"honey": 50.0, "vinegar": 50.0},  # an oxymel: each helps the other
        {"oil": 100.0, "water": 3.0},  # what a dried herb may bring
    ],
)
def test_enough_of_it_keeps(volumes_ml):
    assert other_means(volumes_ml) >= 1.0


@pytest.mark.parametrize(
    "volumes_ml",
    [
        {"vinegar": 50.0, "water": 50.0},  # thinned by half: common practice, from memory
        {"glycerin": 30.0, "water": 70.0},
        {"syrup": 60.0, "water": 40.0},  # 60 x 1.315 x 0.667 / (60 x 1.315 + 40) = 44 %
        {"honey": 60.0, "water": 15.0},  # 60 x 1.42 x 0.82 / (60 x 1.42 + 15) = 70 %
        {"oil": 90.0, "water": 10.0},
    ],
)
def test_with_too_little_of_it_nobody_knows(volumes_ml):
    assert NOTHING_BELOW <= other_means(volumes_ml) < 1.0


@pytest.mark.parametrize(
    "volumes_ml", [{}, {"water": 100.0}, {"vinegar": 5.0, "water": 500.0}, {"ethanol": 100.0}]
)
def test_next_to_none_of_it_is_water(volumes_ml):
    assert other_means(volumes_ml) < NOTHING_BELOW
