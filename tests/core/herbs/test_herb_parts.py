"""Parts of plants: read off a name, and which of them a row about others takes in."""

import pytest

from tests.core.herbs.published import rows
from tracker.core.herbs.parts import parts_in, split_part, touches
from tracker.core.herbs.spelling import words


@pytest.mark.parametrize(
    ("text", "name", "part"),
    [
        ("calendula flowers", "calendula", "flower"),
        ("dried nettle leaf and root", "nettle", "leaf and root"),
        ("Thymus vulgaris herba", "thymus vulgaris", "herb"),
        ("hawthorn berries", "hawthorn", "berry"),
        ("yarrow flowering tops", "yarrow", "flowering tops"),
        ("hypericum tops", "hypericum", "tops"),
        ("hop strobiles", "hop", "strobile"),
        ("Valerianae radix", "valerianae", "root"),
        ("lily of the valley", "lily of the valley", None),
        ("fresh thyme", "thyme", None),
        ("ice plant", "ice plant", None),
        ("bark", "bark", None),
    ],
)
def test_a_part_said_behind_the_name_is_read(text, name, part):
    assert split_part(words(text)) == (words(name), part)


def test_every_published_part_is_understood():
    published = [row["parts_used"] for row in rows("plants.csv")]
    published += [row["part"] for row in rows("moisture_fresh.csv")]

    assert [text for text in published if not parts_in(text)] == []


@pytest.mark.parametrize(
    ("limit", "used", "holds"),
    [
        ("bark", "bark", True),
        ("bark", "root bark", True),
        ("bark", "fruit peel", False),
        ("bark", "", True),
        ("berry", "herb", False),
        ("berry", "fruit", True),
        ("berry", "whole plant", True),
        ("herb", "leaf", True),
        ("root and herb", "rhizome", True),
        ("root and herb", "seed", False),
        ("", "seed", True),
    ],
)
def test_what_is_said_of_a_part_holds_for_it_and_where_the_part_is_unknown(limit, used, holds):
    assert touches(parts_in(limit), parts_in(used)) is holds
