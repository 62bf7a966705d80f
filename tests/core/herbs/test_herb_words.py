"""Names as words, and how many slips of the pen still mean the same plant."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.hypothesis_profile import USUAL
from tracker.core.herbs.spelling import edits, singular, slips, spoken, words

letters = st.text("abcd", max_size=7)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Calendula officinalis L.", ("calendula", "officinalis", "l")),
        ("MENTHA × PIPERITA", ("mentha", "piperita")),
        ("Mentha x piperita", ("mentha", "piperita")),
        ("St. John’s wort", ("st", "johns", "wort")),
        ("Saint John's Wort", ("st", "johns", "wort")),
        ("Capsella bursa-pastoris", ("capsella", "bursa", "pastoris")),
        ("Maté", ("mate",)),
        ("  ", ()),
    ],
)
def test_a_name_is_its_words_without_marks_or_hybrid_sign(text, expected):
    assert words(text) == expected


def test_the_plural_is_no_other_name_and_latin_endings_are_no_plural():
    plurals = ["hops", "elderberries", "officinalis", "crocus", "cress"]

    assert [singular(word) for word in plurals] == [
        "hop", "elderberry", "officinalis", "crocus", "cress",
    ]  # fmt: skip
    assert spoken("Wild oats") == ("wild", "oat")


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


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        (("aconitum", "napelus"), ("aconitum", "napellus")),
        (("digitallis", "pupurea"), ("digitalis", "purpurea")),
        (("veratrum", "alba"), ("veratrum", "album")),
        (("c", "officinalis"), ("calendula", "officinalis")),
        (("aristolocia",), ("aristolochia",)),
    ],
)
def test_a_slip_is_the_same_name(typed, meant):
    assert slips(typed, meant) in (1, 2, 3)
    assert slips(meant, meant) == 0


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        # Real names of other plants, from memory.
        (("convolvulus", "arvensis"), ("convallaria", "majalis")),
        (("digitaria",), ("digitalis",)),
        (("pansy",), ("tansy",)),
        (("alnus", "rubra"), ("ulmus", "rubra")),
        (("artemisia", "cana"), ("artemisia", "cina")),
        (("geranium", "maculatum"), ("conium", "maculatum")),
        (("viburnum",), ("laburnum",)),
        (("roman", "chamomile"), ("german", "chamomile")),
        (("calendula",), ("calendula", "officinalis")),
    ],
)
def test_another_name_is_no_slip(typed, meant):
    assert slips(typed, meant) is None
