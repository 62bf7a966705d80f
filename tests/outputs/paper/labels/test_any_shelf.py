"""Whatever a book holds, its labels are printed or plainly refused, and a hold is never lost."""

from datetime import UTC, date, datetime

import pytest
from hypothesis import event, given
from hypothesis import strategies as st

from tests.hypothesis_profile import searching
from tests.lives import books
from tests.outputs.paper.reading import drawn_letters, squeezed, text_of
from tracker.core.practice.label_sheets import BUILT_IN, single
from tracker.core.practice.practice import Practice
from tracker.core.replay.replay import replay
from tracker.core.shelf.thing import Thing, things
from tracker.outputs.paper.labels.label_layout import TooSmallError
from tracker.outputs.paper.labels.label_pdf import printed
from tracker.outputs.paper.labels.label_text import label, lid, short

pytestmark = pytest.mark.thorough

TODAY = date(2025, 9, 1)
NOW = datetime(2025, 9, 1, 9, tzinfo=UTC)
SETTINGS = (
    (label, BUILT_IN["a4"]),
    (label, single(50, 25)),
    (label, single(37, 70)),
    (lid, BUILT_IN["lids"]),
    (short, single(25, 15)),
    (short, single(40, 20)),
)


def on_shelf(entries: list[object]) -> list[Thing]:
    return [one for batch in replay(entries).batches for one in things(batch)][:8]


@searching(20)
@given(books(), st.sampled_from(SETTINGS))
def test_any_shelf_is_printed_or_refused_plainly(entries, setting):
    write, sheet = setting
    found = on_shelf(entries)
    if not found:
        return
    try:
        made = printed([write(one, Practice(), TODAY) for one in found], sheet, NOW)
    except TooSmallError:
        event("too small")
        return
    event("printed")
    assert made.labels == len(found)
    for page in range(made.pages):
        assert min(one.size_pt for one in drawn_letters(made.pdf, page)) >= 5.499


@searching(20)
@given(books(), st.sampled_from(SETTINGS))
def test_what_is_on_hold_says_so_on_the_paper_of_each(entries, setting):
    write, sheet = setting
    for one in on_shelf(entries)[:3]:
        if one.hold is None:
            continue
        try:
            made = printed([write(one, Practice(), TODAY)], sheet, NOW)
        except TooSmallError:
            event("too small")
            continue
        event("on hold")
        text = squeezed(text_of(made.pdf))
        assert "ONHOLD" in text or "RECALLED" in text
