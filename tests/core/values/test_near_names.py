"""Names near to a missing one, and how many letters lie between two."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.hypothesis_profile import USUAL
from tracker.core.values.near_names import edits, near_names

CODES = ["ACMI-26-01", "CAOF-25-02", "CAOF-26-01", "LOT-26-01"]

letters = st.text("abcd", max_size=7)


@pytest.mark.parametrize(
    ("typed", "first"),
    [
        ("CAFO-25-02", "CAOF-25-02"),
        ("caof-26-1", "CAOF-26-01"),
        (" CAOF-26-01 ", "CAOF-26-01"),
        ("LOT26-01", "LOT-26-01"),
    ],
)
def test_the_nearest_name_comes_first(typed, first):
    assert near_names(typed, CODES)[0] == first


def test_a_name_of_other_letters_is_not_offered():
    assert near_names("ZZZ", CODES) == []
    assert near_names("CAOF-26-01", []) == []


def test_names_equally_near_stand_in_their_order_whatever_order_they_came_in():
    assert near_names("AB3", {"AB2", "AB1"}) == ["AB1", "AB2"]


def test_at_most_three_are_offered():
    assert near_names("A0", [f"A{number}" for number in range(1, 10)]) == ["A1", "A2", "A3"]


@pytest.mark.parametrize(
    ("one", "other", "distance"),
    [
        # The usual textbook pairs: kitten and sitting (Wagner and Fischer's distance) are 3;
        # ca and abc are 3 by optimal string alignment (2 if a swapped pair could be edited).
        ("kitten", "sitting", 3),
        ("ca", "abc", 3),
        ("saturday", "sunday", 3),
        ("napelus", "napellus", 1),
        ("pupurea", "purpurea", 1),
        ("ahcillea", "achillea", 1),
    ],
)
def test_letters_put_in_left_out_changed_or_swapped_are_counted(one, other, distance):
    assert edits(one, other, 9) == distance
    assert edits(one, other, distance) == distance
    assert edits(one, other, distance - 1) == distance


@USUAL
@given(letters, letters)
def test_the_distance_is_the_same_both_ways_and_nothing_only_between_equals(one, other):
    far = edits(one, other, 20)

    assert far == edits(other, one, 20)
    assert (far == 0) == (one == other)
    assert abs(len(one) - len(other)) <= far <= max(len(one), len(other))


@USUAL
@given(letters, st.data())
def test_one_change_is_one_slip(word, data):
    place = data.draw(st.integers(0, len(word)))
    longer = f"{word[:place]}e{word[place:]}"

    assert edits(word, longer, 3) == 1
