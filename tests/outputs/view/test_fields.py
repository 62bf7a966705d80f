"""The fields of a thing: one mapping in `show`, on the shelf and in the stock."""

from datetime import date

import pytest

from tests.outputs import shelves
from tracker.core.practice.practice import Practice
from tracker.core.shelf.thing import things, whole
from tracker.outputs.answer_fields import thing_fields
from tracker.outputs.terminal.shelf_table import shelf_fields
from tracker.outputs.terminal.stock_table import in_stock, stock_table
from tracker.outputs.view.thing_view import view_of

TODAY = date(2025, 9, 2)
PRACTICE = Practice()
SHELVES = (
    shelves.held_by_a_look,
    shelves.a_held_bottle,
    shelves.of_two_herbs,
    shelves.a_bottle_good_for_less_long,
    shelves.a_bottle_of_something_harmful,
    shelves.pressed_nobody_knows_when,
    shelves.a_blend,
    shelves.a_second_steep,
    shelves.given_out_whole,
)


@pytest.mark.parametrize("shelf", SHELVES, ids=lambda one: one.__name__)
def test_the_fields_of_every_thing_are_the_same_and_say_the_dates_of_its_view(shelf):
    """A row of the shelf, the stock and `show` are one mapping."""
    told = shelf()
    every = [view_of(one, PRACTICE, TODAY) for batch in told.batches for one in things(batch)]
    fields = [thing_fields(one) for one in every]

    assert len({tuple(one) for one in fields}) == 1
    for view, answer in zip(every, fields, strict=True):
        said = answer["good_through"]
        assert (said and date.fromisoformat(said)) == view.row.good_through
        assert answer["on_hold"] == (view.row.hold is not None)
    shown = {one["code"]: one["state"] for one in shelf_fields(told.batches, PRACTICE, TODAY)}
    wholes = {one.code: view_of(whole(one), PRACTICE, TODAY).row.state for one in told.batches}
    assert shown == wholes


def test_a_narrow_screen_says_how_many_plants_there_are_and_a_wide_one_names_each_with_its_part():
    stocked = in_stock(shelves.of_two_herbs().batches, PRACTICE)

    narrow = stock_table(stocked, PRACTICE, TODAY, total=61, colour=False)[1]
    wide = stock_table(stocked, PRACTICE, TODAY, total=200, colour=False)[1]
    assert "A. napellus +1 more" in narrow  # the one that could harm somebody
    assert "marigold flower + Aconitum napellus root, fresh" in wide
