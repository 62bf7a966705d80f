"""Dates as people say them, held to the calendar and to the zone database."""

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.hypothesis_profile import USUAL
from tracker.core.values.day_words import short_when
from tracker.core.values.errors import AmbiguousDateError, MisusedError
from tracker.core.values.spoken_dates import day_said, spoken_day, taken_as
from tracker.core.values.times import is_as_people_say, parse_when

BERLIN = ZoneInfo("Europe/Berlin")
TODAY = date(2026, 11, 28)  # a Saturday
NOW = datetime(2026, 11, 28, 10, 30, tzinfo=BERLIN)

days = st.dates(date(1990, 1, 1), date(2100, 12, 31))
MONTHS = (
    *("January", "February", "March", "April", "May", "June", "July"),
    *("August", "September", "October", "November", "December"),
)
WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


def ways(day: date) -> list[str]:
    """A day with its year as people write it."""
    month = MONTHS[day.month - 1]
    weekday = WEEKDAYS[day.weekday()]
    return [
        f"{day.day} {month} {day.year}",
        f"{day.day} {month[:3]} {day.year}",
        f"{month} {day.day}, {day.year}",
        f"{day.day}{month[:3].lower()} {day.year}",
        f"{weekday} {day.day} {month} {day.year}",
        f"{weekday[:3]}, {month[:3]} {day.day} {day.year}",
        f"{day.year}/{day.month}/{day.day}",
        f"{day.year}.{day.month}.{day.day}",
        day_said(day),
    ]


@USUAL
@given(days, days, st.data())
def test_a_day_with_its_year_reads_back_however_it_is_written(day, today, data):
    text = data.draw(st.sampled_from(ways(day)))
    toward = data.draw(st.sampled_from(["past", "future"]))

    assert spoken_day(text, today, toward) == day


@USUAL
@given(days, days)
def test_a_day_without_its_year_is_the_last_or_the_coming_one(day, today):
    text = f"{day.day} {MONTHS[day.month - 1]}"
    try:
        last, coming = spoken_day(text, today), spoken_day(text, today, "future")
    except MisusedError:
        assert (day.month, day.day) == (2, 29)
        return

    assert last is not None
    assert coming is not None
    assert {(last.month, last.day), (coming.month, coming.day)} == {(day.month, day.day)}
    assert today - timedelta(days=366) <= last <= today <= coming <= today + timedelta(days=366)


@USUAL
@given(days, st.sampled_from(range(7)))
def test_a_weekday_is_the_last_or_the_coming_one_and_today_is_either(today, number):
    last, coming = (spoken_day(WEEKDAYS[number], today, one) for one in ("past", "future"))
    before = spoken_day(f"last {WEEKDAYS[number]}", today)

    assert last is not None
    assert coming is not None
    assert before is not None
    assert last.weekday() == coming.weekday() == before.weekday() == number
    assert 0 <= (today - last).days < 7
    assert 0 <= (coming - today).days < 7
    assert 1 <= (today - before).days <= 7
    assert (last == today) == (coming == today) == (today.weekday() == number)


@USUAL
@given(days, days)
def test_numbers_alone_are_taken_only_where_they_are_one_day(day, today):
    both = (f"{day.day}/{day.month}/{day.year}", f"{day.month}.{day.day}.{day.year}")
    for text in both:
        if day.day > 12 or day.day == day.month:
            assert spoken_day(text, today) == day
        else:
            with pytest.raises(AmbiguousDateError) as asked:
                spoken_day(text, today)
            written = {one.written for one in asked.value.readings}
            assert written == {str(day), str(date(day.year, day.day, day.month))}


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("2 Feb", "2026-02-02"),
        ("2nd of February", "2026-02-02"),
        ("29 Nov", "2025-11-29"),
        ("28 nov", "2026-11-28"),
        ("monday", "2026-11-23"),
        ("Sat", "2026-11-28"),
        ("last saturday", "2026-11-21"),
        ("Monday 4 May", "2026-05-04"),
        ("3 days ago", "2026-11-25"),
        ("two weeks ago", "2026-11-14"),
        ("a day ago", "2026-11-27"),
        ("tomorrow", "2026-11-29"),
        ("in 3 days", "2026-12-01"),
        ("in three months", "2027-02-28"),
        ("13/2", "2026-02-13"),
        ("2.2.", "2026-02-02"),
        ("13.4.26", "2026-04-13"),
        ("2 Feb 26", "2026-02-02"),
        ("monday morning", "2026-11-23"),
        ("this morning", "2026-11-28"),
        ("tonight", "2026-11-28"),
        ("yesterday evening", "2026-11-27"),
        ("last night", "2026-11-27"),
        ("2 Feb afternoon", "2026-02-02"),
        ("the day before yesterday", "2026-11-26"),
        ("a week ago", "2026-11-21"),
        ("a fortnight ago", "2026-11-14"),
        ("next friday", "2026-12-04"),
        ("last friday", "2026-11-27"),
    ],
)
def test_a_day_in_words(text, expected):
    when = parse_when(text, NOW)

    assert (when.iso, when.precision) == (expected, "day")
    assert is_as_people_say(text)


@pytest.mark.parametrize(
    ("text", "precision", "expected"),
    [
        ("June 2023", "month", "2023-06"),
        ("jun 2023", "month", "2023-06"),
        ("December", "month", "2025-12"),
        ("November", "month", "2026-11"),
        ("end of May", "month", "2026-05"),
        ("the beginning of June 2023", "month", "2023-06"),
        ("mid-June", "month", "2026-06"),
        ("summer 2023", "season", "2023-06 to 2023-08"),
        ("Winter  2023", "season", "2023-12 to 2024-02"),
    ],
)
def test_a_month_or_a_season_in_words(text, precision, expected):
    when = parse_when(text, NOW)

    assert (when.iso, when.precision) == (expected, precision)


@pytest.mark.parametrize(
    "text",
    [
        *("someday", "31 Feb", "0 May", "32/1", "morning", "this", "this week", "end of 2023"),
        *("1/2/3", "18.30", "99999 days ago", "days ago", "in days", "two", "last"),
        *("last week", "2 Feb 2026 2027", "in 3 days ago"),
        *("monday tuesday", "2 Feb monday", "3 May 1200", "2//2", "13/13"),
    ],
)
def test_what_is_no_day_is_refused_with_the_ways_to_write_one(text):
    with pytest.raises(MisusedError, match="is not a date") as refused:
        parse_when(text, NOW)

    assert "3 days ago" in refused.value.do
    assert "docs/dates.md" in refused.value.do


def test_months_ago_are_no_one_day():
    with pytest.raises(MisusedError, match="is not one day"):
        parse_when("2 months ago", NOW)


@pytest.mark.parametrize("text", ["around easter", "about 2 Feb", "ca. June 2023"])
def test_a_guess_is_refused_with_what_may_be_sure(text):
    with pytest.raises(MisusedError, match="is no one day") as refused:
        parse_when(text, NOW)

    assert "April 2026" in refused.value.do


@USUAL
@given(days, st.sampled_from(range(7)))
def test_the_next_weekday_is_taken_only_where_it_is_in_the_next_week_however_counted(today, number):
    """Weeks begin on a Monday to some and on a Sunday to others."""
    from_monday = today - timedelta(days=today.weekday()) + timedelta(days=7 + number)
    sunday = today - timedelta(days=(today.weekday() + 1) % 7)
    from_sunday = sunday + timedelta(days=7 + (number + 1) % 7)
    coming = today + timedelta(days=(number - today.weekday() - 1) % 7 + 1)
    text = f"next {WEEKDAYS[number]}"
    try:
        found = {spoken_day(text, today, "future")}
    except AmbiguousDateError as asked:
        found = {date.fromisoformat(one.written) for one in asked.readings}
        assert len(found) == 2

    assert {from_monday, from_sunday, coming} == found or len(found) == 2
    assert coming in found
    if len({from_monday, from_sunday, coming}) > 1:
        assert len(found) == 2


def test_a_weekday_that_the_day_is_not_is_refused():
    with pytest.raises(MisusedError, match="2 Feb 2026 is a Monday"):
        parse_when("Tuesday 2 Feb", NOW)


@pytest.mark.parametrize(("today", "last"), [("2026-11-28", 2024), ("2103-03-01", 2096)])
def test_a_leap_day_needs_its_year_where_it_is_long_ago(today, last):
    with pytest.raises(MisusedError, match=f"last year with that day is {last}"):
        spoken_day("29 Feb", date.fromisoformat(today))
    assert spoken_day("29 Feb", date(2025, 2, 28)) == date(2024, 2, 29)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("yesterday 18:30", "2026-11-27T18:30:00+01:00"),
        ("today at 8:05", "2026-11-28T08:05:00+01:00"),
        ("Monday 18:30", "2026-11-23T18:30:00+01:00"),
        ("29 March 2026 02:30", "2026-03-29T02:30:00+01:00"),  # that hour was left out
        ("25 Oct 02:30", "2026-10-25T02:30:00+02:00"),  # and this one came twice
    ],
)
def test_a_time_may_follow_a_day(text, expected):
    when = parse_when(text, NOW)

    assert (when.start.isoformat(), when.precision) == (expected, "time")


def test_two_readings_keep_the_time():
    with pytest.raises(AmbiguousDateError) as asked:
        parse_when("2/3 18:30", NOW)

    assert [one.written for one in asked.value.readings] == ["2026-03-02 18:30", "2026-02-03 18:30"]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("2 feb", "2 feb taken as Mon 2 Feb 2026."),
        ("monday 18:30", "monday 18:30 taken as Mon 23 Nov 2026, 18:30."),
        ("June", "June taken as Jun 2026."),
    ],
)
def test_what_was_understood_is_said(text, expected):
    assert taken_as(text, parse_when(text, NOW)) == expected


def test_the_last_day_it_can_have_been_is_read_back():
    when = parse_when("by 3 Mar", NOW)

    assert (when.precision, when.latest.isoformat()) == ("unknown", "2026-03-03")
    assert taken_as("by 3 Mar", when) == "by 3 Mar taken as by 3 Mar 2026."
    assert parse_when(short_when(when), NOW) == when
    assert parse_when("by 2026-03-03", NOW) == when


@pytest.mark.parametrize("text", ["by", "by 3 Mar 2099", "by tomorrow", "by June", "by by 3 Mar"])
def test_no_last_day_is_taken_that_is_still_to_come_or_no_day(text):
    with pytest.raises(MisusedError, match="is not a date"):
        parse_when(text, NOW)


def test_a_last_day_in_numbers_keeps_its_word():
    with pytest.raises(AmbiguousDateError) as asked:
        parse_when("by 2/3", NOW)

    assert [one.written for one in asked.value.readings] == ["by 2026-03-02", "by 2026-02-03"]


def test_a_season_is_said_by_its_name_where_its_half_of_the_earth_is_known():
    when = parse_when("summer 2023", NOW, "south")

    assert taken_as("summer 23", when, "south") == "summer 23 taken as summer 2023."


@pytest.mark.parametrize("text", ["", "now", "2023", "2023-06", "2023-summer", "18:30", "today"])
def test_what_has_one_meaning_is_not_said(text):
    assert not is_as_people_say(text)
