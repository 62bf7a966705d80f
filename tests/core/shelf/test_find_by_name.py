"""What a plant's name fits, without a book on disk."""

import pytest

from tests.lives import a_charge, jar_after, on
from tracker.core.facts.entry import Entry
from tracker.core.shelf.find_by_name import named
from tracker.core.shelf.jar import Jar


def a_jar(herb: str, part: str | None = None, **more: object) -> Jar:
    day = on("2025-03-03")
    fact = a_charge(herb=herb, part=part, **more)
    entry = Entry(herb, "bench", 1, herb, day, day.start, fact)
    return jar_after([entry], herb)


SHELF = [
    a_jar("Rosa canina", "hip"),
    a_jar("Salvia rosmarinus", "leaf"),
    a_jar("Urtica dioica", "leaf", place="Keller, unten"),
    a_jar("Urtica dioica", "root"),
    a_jar("Hypericum perforatum", "herb"),
    a_jar("Arnica montana", "flower", common="Bergwohlverleih"),
    a_jar("Mentha × piperita", "leaf"),
]


@pytest.mark.parametrize(
    ("text", "fits"),
    [
        ("rose", ["Rosa canina"]),  # whole words, before rosemary that only begins so
        ("rosem", ["Salvia rosmarinus"]),
        ("ros", ["Rosa canina", "Salvia rosmarinus"]),
        ("rose hips", ["Rosa canina"]),
        ("nettle", ["Urtica dioica", "Urtica dioica"]),
        ("nettle root", ["Urtica dioica"]),
        ("LEAF, nettle", ["Urtica dioica"]),
        ("nettleleaf", ["Urtica dioica"]),
        ("urtica keller", ["Urtica dioica"]),
        ("nettle flower", []),
        ("leaf", []),
        ("keller", []),
        ("st john's wort", ["Hypericum perforatum"]),
        ("St. John’s", ["Hypericum perforatum"]),
        ("bergwohl", ["Arnica montana"]),
        ("arnica", ["Arnica montana"]),
        ("mentha piperita", ["Mentha × piperita"]),
        ("nettel", []),  # a slip is no name
        ("ro", []),
        ("", []),
        ("12", []),
        ("☃", []),
    ],
)
def test_a_name_fits_what_bears_it_and_nothing_that_is_near(text, fits):
    assert [jar.herb for jar in named(text, SHELF)] == fits
