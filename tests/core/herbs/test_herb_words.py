"""Names as words, and how many slips of the pen still mean the same plant."""

import pytest

from tracker.core.herbs.spelling import singular, slips, spoken, words


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
