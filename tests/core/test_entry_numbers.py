"""What a line of the book is called, and what is found by what a person says."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.hypothesis_profile import USUAL
from tests.lives import KITCHEN, OneJar
from tracker.core.facts.entry_numbers import (
    entry_name,
    entry_names,
    is_called,
    name_of_line,
    read_name,
)

HOUSE = ("hanne-stillroom", "corin-counter", "wenna-loft")
# As the writers' names are made: letters, digits and hyphens, some of them much alike.
writers = st.lists(
    st.text("ab1-", min_size=1, max_size=5).filter(lambda one: one[0] != "-" and one[-1] != "-"),
    min_size=1,
    max_size=5,
    unique=True,
)


def meant(text, known):
    """Whose line is meant, and which."""
    prefix, number = read_name(text)
    return [(one, number) for one in known if is_called(one, prefix, known)]


def test_one_writers_line_is_called_by_its_number_alone():
    one = OneJar.charged()
    one.shake("2025-03-04")

    assert entry_names(one.entries, {KITCHEN}) == {one.entries[0].id: "1", one.entries[1].id: "2"}


@pytest.mark.parametrize(
    ("writer", "known", "name"),
    [
        ("hanne-stillroom", HOUSE, "h214"),
        ("hanne", ("hanne", "hugo"), "ha214"),
        ("hanne-loft", ("hanne-loft", "hanne-shop"), "hanne-l214"),
        ("anna-2", ("anna-2", "anna-3"), "anna-2:214"),  # and not line 2214
        ("anna", ("anna", "anna-kitchen"), "anna214"),
        ("anna-kitchen", ("anna", "anna-kitchen"), "anna-k214"),
        ("anna1", ("anna1", "anna"), "anna1:214"),
    ],
)
def test_of_several_writers_the_shortest_beginning_that_is_enough_stands_before_it(
    writer, known, name
):
    assert name_of_line(writer, 214, known) == name
    assert meant(name, known) == [(writer, 214)]


@USUAL
@given(writers, st.integers(1, 10**9), st.data())
def test_every_name_leads_back_to_its_one_line(known, number, data):
    """However alike the names are, and where one begins another."""
    writer = data.draw(st.sampled_from(known))
    name = name_of_line(writer, number, known)

    assert meant(name, known) == [(writer, number)]
    assert meant(name.upper(), known) == [(writer, number)]


def test_a_bare_number_may_be_any_writers():
    assert meant("214", HOUSE) == [(one, 214) for one in HOUSE]
    assert meant("x214", HOUSE) == []


@pytest.mark.parametrize("text", ["", "hanne", "h", "h2x", "h 2 x", "2-", "-"])
def test_what_ends_in_no_number_is_no_number(text):
    assert read_name(text) is None


def test_an_entry_is_named_by_its_own_number_in_its_file():
    one = OneJar.charged()
    one.charge.sequence = 7

    assert entry_name(one.charge, {KITCHEN, "cellar-bo"}) == "k7"
