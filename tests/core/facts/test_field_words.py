"""Every field of every kind has a word, or is one that nobody gives."""

from typing import get_args

import pytest
from msgspec.structs import fields

from tracker.core.facts.field_words import given_by_the_book, words_of_kind
from tracker.core.facts.kinds import AnyFact

KINDS = get_args(AnyFact)
OF_THE_LINE = {"time", "precision", "subject"}


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.kind)
def test_every_field_has_its_word_or_is_given_by_the_book(kind):
    held = {name for one in words_of_kind(kind) for name in one.holds} - OF_THE_LINE
    names = {one.name for one in fields(kind)}

    assert held <= names
    assert names - held == names & given_by_the_book(kind)


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.kind)
def test_no_word_means_two_fields_and_none_is_that_of_the_format(kind):
    words = words_of_kind(kind)
    said = [name for one in words for name in {one.word, one.plain or one.word, *one.also}]

    assert sorted(said) == sorted(set(said))
    assert not [one for one in said if "_" in one]
