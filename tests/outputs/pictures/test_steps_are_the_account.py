"""Stock as it is drawn, held to a second account in fractions and to each day told by itself."""

from collections import defaultdict
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.hypothesis_profile import SHORT
from tests.valid_lives import FIRST_DAY, valid_life
from tracker.core.practice.practice import Practice
from tracker.core.replay.replay import replay, shelves_between
from tracker.outputs.pictures.supply.stock_levels import StockWalk, herb_key, level_on
from tracker.outputs.view.made import herbs_of

lives = st.builds(valid_life, st.integers(0, 2**32), st.sampled_from([12, 60, 120]))
LATER = date(2031, 1, 1)


def walked(entries, last):
    walk = StockWalk(Practice())
    for day, batches in shelves_between(entries, FIRST_DAY, last):
        walk.take(day, batches)
    return walk.stock()


def all_ml(level):
    return level.free_ml + level.held_ml + level.past_ml


@SHORT
@given(lives)
def test_what_is_left_is_what_the_account_says(life):
    stock = walked(life.entries, LATER)
    drawn = sum(all_ml(one.levels[-1]) for one in stock.values())
    kept = sum(
        one.ml + sum(bottle.ml for bottle in one.bottles.values()) for one in life.extracts.values()
    )

    assert drawn == pytest.approx(float(kept), abs=0.06 * (len(life.extracts) + 50))


@SHORT
@given(lives, st.data())
def test_on_any_day_it_is_what_stood_there(life, data):
    """The shelf of that day told from the first line, herb by herb."""
    entries = life.entries
    days = sorted({one.when.earliest for one in entries})
    day = data.draw(st.sampled_from(days))
    stood = defaultdict(float)
    for batch in replay(entries, through=day).batches:
        for extract in batch.extracts:
            stood[herb_key(herbs_of(batch, extract.made))] += extract.left_ml
    stock = walked(entries, LATER)

    for name in stock.keys() | stood.keys():
        levels = stock[name].levels if name in stock else ()
        drawn = all_ml(level_on(levels, day))
        assert drawn == pytest.approx(stood[name], abs=2), name
