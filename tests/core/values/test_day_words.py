"""Days as sentences and rows write them: what is printed may be typed back."""

from datetime import UTC, date, datetime, time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.core.values.day_words import Present, short_when
from tracker.core.values.times import When, moment, parse_when
from tracker.outputs.words.row_dates import when_in_row

NOW = datetime(2026, 6, 13, 12, tzinfo=UTC)
HALVES = st.sampled_from(("north", "south"))
DAYS = st.dates(date(2000, 1, 1), date(2099, 12, 31))


def at(day, precision):
    return When(datetime.combine(day, time(), UTC), precision)


@st.composite
def whens(draw):
    """Days, and ranges of days from where each can begin."""
    day, precision = draw(DAYS), draw(st.sampled_from(("day", "month", "season", "year")))
    if precision == "season":
        day = day.replace(month=draw(st.sampled_from((3, 6, 9, 12))), day=1)
    elif precision != "day":
        day = day.replace(day=1, month=1 if precision == "year" else day.month)
    return at(day, precision)


@given(whens(), HALVES)
def test_what_a_sentence_says_may_be_typed_back(when, half):
    """A day of the running year is the last one or the coming one, as its verb means it."""
    text = Present(NOW.year, half).said(when)
    toward = "future" if when.start > NOW else "past"

    assert parse_when(text, NOW, half, toward=toward) == when


@given(whens(), HALVES)
def test_what_a_row_says_may_be_typed_back(when, half):
    text = when_in_row(when, NOW.date(), half)
    toward = "future" if when.start > NOW else "past"

    assert parse_when(text, NOW, half, toward=toward) == when


@given(whens(), HALVES)
def test_what_is_said_where_nobody_knows_the_present_may_be_typed_back(when, half):
    """A season is said by its months there, which are the same on both halves of the earth."""
    assert parse_when(str(when), NOW, half) == when


@pytest.mark.parametrize(
    ("when", "sentence", "row"),
    [
        (at(date(2026, 3, 3), "day"), "3 Mar", "3 Mar"),
        (at(date(2027, 3, 3), "day"), "3 Mar 2027", "3 Mar 27"),
        (at(date(2023, 6, 1), "month"), "Jun 2023", "Jun 2023"),
        (at(date(2023, 6, 1), "season"), "summer 2023", "summer 23"),
        (at(date(2023, 12, 1), "season"), "winter 2023", "winter 23"),
        (at(date(2023, 1, 1), "year"), "2023", "2023"),
        (at(date(2026, 3, 3), "unknown"), "by 3 Mar", "not known"),
        (moment(datetime(2026, 3, 3, 18, 30, tzinfo=UTC)), "3 Mar", "3 Mar"),
    ],
)
def test_a_day_in_a_sentence_and_in_a_row(when, sentence, row):
    assert short_when(when, NOW.year, "north") == sentence
    assert when_in_row(when, NOW.date(), "north") == row


def test_a_season_is_that_of_its_half_of_the_earth():
    june = at(date(2023, 6, 1), "season")

    assert short_when(june, 2026, "south") == "winter 2023"
    assert short_when(june, 2026) == "Jun to Aug 2023"


@pytest.mark.parametrize(
    "text", ["Jan to Mar 2023", "Jun to Sep 2023", "Jun 2022 to Aug 2023", "Dec to Feb"]
)
def test_months_that_are_no_season_are_no_date(text):
    with pytest.raises(Exception, match="is not a date"):
        parse_when(text, NOW)
