"""Shelves of several days are each the shelf told from the first line on through that day."""

from datetime import timedelta

import msgspec
from hypothesis import given
from hypothesis import strategies as st

from tests.hypothesis_profile import SHORT, USUAL
from tests.lives import books
from tests.valid_lives import valid_life
from tracker.core.replay.replay import replay, shelves


def told_apart(entries, days):
    """Each shelf by itself, as bytes: what was told for a later day may not reach it."""
    return [msgspec.json.encode(replay(entries, through=day)) for day in days]


def told_together(entries, days):
    return [msgspec.json.encode(shelf) for shelf in shelves(entries, days)]


def days_of(entries, step):
    """Every so many days from before the first line to after the last."""
    known = sorted(one.when.earliest for one in entries if one.when.precision != "unknown")
    if not known:
        return []
    length = (known[-1] - known[0]).days + 2
    most = max(length // 12, step)
    return [known[0] + timedelta(days=n) for n in range(-1, length, most)]


@SHORT
@given(seed=st.integers(0, 10**6))
def test_the_shelves_of_a_valid_life_are_those_told_one_by_one(seed):
    entries = list(valid_life(seed, 60).entries)
    days = days_of(entries, 1)

    assert told_together(entries, days) == told_apart(entries, days)


@USUAL
@given(books())
def test_the_shelves_of_any_book_are_those_told_one_by_one(entries):
    days = days_of(entries, 1)

    assert told_together(entries, days) == told_apart(entries, days)
