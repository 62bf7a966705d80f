"""Calendar time against independent implementations and the zone database."""

from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from typing import get_args
from zoneinfo import ZoneInfo

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given
from hypothesis import strategies as st

from tests.hypothesis_profile import LONG, USUAL
from tests.lives import OneJar, at, on
from tracker.core.reckoning import amounts
from tracker.core.rules.morning import digest_instant
from tracker.core.values.errors import MisusedError
from tracker.core.values.times import (
    LONG_AGO,
    Period,
    Precision,
    When,
    add_months,
    midnight,
    moment,
    parse_period,
    parse_when,
)

BERLIN = ZoneInfo("Europe/Berlin")
NOW = datetime(2025, 6, 15, 10, 30, tzinfo=BERLIN)

days = st.dates(date(1900, 1, 1), date(2100, 12, 31))
periods = st.builds(Period, st.integers(0, 1200), st.integers(0, 36525))


# Months


@LONG
@given(days, st.integers(-1200, 1200))
def test_months_are_added_as_dateutil_adds_them(day, months):
    """python-dateutil's relativedelta is the reference: clamp once, to the month's end."""
    assert add_months(day, months) == day + relativedelta(months=months)


@USUAL
@given(days, periods)
def test_a_period_adds_its_months_first_and_then_its_days(day, period):
    expected = day + relativedelta(months=period.months) + timedelta(days=period.days)

    assert period.after(day) == expected


@pytest.mark.parametrize(
    ("begins", "period", "ends"),
    [
        # Regulation (EEC, Euratom) No 1182/71, Article 3 (2) (c), from memory: a period in
        # months or years ends on the same date as the day it runs from, and where that day
        # does not occur in the last month, with the last day of that month.
        ("2023-01-31", "1 month", "2023-02-28"),
        ("2024-01-31", "1 month", "2024-02-29"),
        ("2024-02-29", "1 year", "2025-02-28"),
        ("2024-02-29", "48 months", "2028-02-29"),
        ("2024-01-30", "3 months", "2024-04-30"),
        ("2025-03-31", "6 months", "2025-09-30"),
        ("2025-12-31", "2 months", "2026-02-28"),
        ("2025-11-30", "3 months", "2026-02-28"),
        ("2025-08-15", "3 months", "2025-11-15"),
        # A period in days or weeks: the day it runs from is not counted (Article 3 (1)).
        ("2025-03-03", "28 days", "2025-03-31"),
        ("2025-03-03", "4 weeks", "2025-03-31"),
    ],
)
def test_a_period_ends_on_the_corresponding_day(begins, period, ends):
    assert parse_period(period).after(date.fromisoformat(begins)) == date.fromisoformat(ends)


def test_clamping_happens_once_and_never_month_by_month():
    """31 January and two months is 31 March; by single months it would be 28 March."""
    assert add_months(date(2025, 1, 31), 2) == date(2025, 3, 31)


# Periods in words


@USUAL
@given(periods)
def test_a_period_reads_back_from_both_ways_it_is_written(period):
    assert parse_period(period.iso) == period
    assert parse_period(str(period)) == period


@pytest.mark.parametrize(
    ("text", "months", "days_"),
    [
        ("28d", 0, 28),
        ("1 day", 0, 1),
        ("6 weeks", 0, 42),
        ("2w", 0, 14),
        ("3 months", 3, 0),
        ("3m", 3, 0),
        ("3 mo", 3, 0),
        ("1 year", 12, 0),
        ("2 yrs", 24, 0),
        ("1 year, 2 months, 1 week, 3 days", 14, 10),
        ("  P3M ", 3, 0),
        ("p1y2m3w4d", 14, 25),
        ("P0D", 0, 0),
        ("0d", 0, 0),
    ],
)
def test_a_span_is_read_in_any_of_its_usual_forms(text, months, days_):
    assert parse_period(text) == Period(months, days_)


@pytest.mark.parametrize(
    "text",
    ["", "p", "d", "3", "soon", "3 hours", "-3d", "1.5 months", "3d 2m", "101 years", "36526d"],
)
def test_what_is_no_span_is_refused_with_the_way_to_write_one(text):
    with pytest.raises(MisusedError) as refused:
        parse_period(text)
    assert refused.value.do


@pytest.mark.parametrize("text", ["," * 5000 + "x", "1y" + ", " * 5000 + "x", "1" + " " * 9000])
def test_a_long_row_of_commas_or_blanks_is_refused_at_once(text):
    """Its time grew with the cube of their number: four hundred took seconds, these took hours."""
    with pytest.raises(MisusedError):
        parse_period(text)


def test_a_number_of_thousands_of_digits_is_refused_like_any_other_nonsense():
    """Python itself refuses to read it, with an error of its own."""
    with pytest.raises(MisusedError):
        parse_period("9" * 5000 + "d")


# A happening and the range of days it lies in


@pytest.mark.parametrize(
    ("when", "earliest", "latest", "text"),
    [
        (at("2025-03-03T18:30+01:00"), "2025-03-03", "2025-03-03", "2025-03-03"),
        (on("2025-03-03"), "2025-03-03", "2025-03-03", "2025-03-03"),
        (on("2024-02-01", "month"), "2024-02-01", "2024-02-29", "2024-02"),
        (on("2023-02-01", "month"), "2023-02-01", "2023-02-28", "2023-02"),
        (on("2023-06-01", "season"), "2023-06-01", "2023-08-31", "2023-06 to 2023-08"),
        (on("2023-12-01", "season"), "2023-12-01", "2024-02-29", "2023-12 to 2024-02"),
        (on("2023-01-01", "year"), "2023-01-01", "2023-12-31", "2023"),
        (on("2025-06-15", "unknown"), "1970-01-01", "2025-06-15", "unknown, by 2025-06-15"),
    ],
)
def test_each_precision_is_a_range_of_days_with_its_own_words(when, earliest, latest, text):
    assert (when.earliest.isoformat(), when.latest.isoformat()) == (earliest, latest)
    assert when.iso == text
    assert when.is_exact == (when.earliest == when.latest)


def test_every_precision_has_a_range_whose_ends_are_in_order():
    for precision in get_args(Precision):
        when = on("2024-03-01", precision)
        assert LONG_AGO <= when.earliest <= when.latest


@USUAL
@given(
    st.datetimes(timezones=st.timezones()).filter(lambda one: 1971 < one.year < 9000),
)
def test_a_moment_keeps_the_calendar_day_and_the_instant_of_its_zone(instant):
    """Wherever the book is opened later, the day it happened stays the maker's day."""
    when = moment(instant)

    assert when.earliest == when.latest == instant.date()
    assert when.start.astimezone(UTC) == instant.astimezone(UTC)


def test_a_moment_without_a_zone_is_a_mistake_of_the_program():
    with pytest.raises(ValueError):
        moment(datetime(2025, 3, 3))  # noqa: DTZ001 - the mistake itself


# What a person writes after --when


@pytest.mark.parametrize(
    ("text", "start", "precision"),
    [
        ("", "2025-06-15T10:30+02:00", "time"),
        ("now", "2025-06-15T10:30+02:00", "time"),
        ("unknown", "2025-06-15T10:30+02:00", "unknown"),
        ("today", "2025-06-15T00:00+02:00", "day"),
        ("Yesterday", "2025-06-14T00:00+02:00", "day"),
        ("2025-03-03", "2025-03-03T00:00+01:00", "day"),
        (" 2025-03-03 18:30 ", "2025-03-03T18:30+01:00", "time"),
        ("2025-03-03T18:30", "2025-03-03T18:30+01:00", "time"),
        ("2025-07-01 18:30", "2025-07-01T18:30+02:00", "time"),
        ("2025-03-03T18:30Z", "2025-03-03T18:30+00:00", "time"),
        ("2025-03-03T18:30+05:45", "2025-03-03T18:30+05:45", "time"),
        ("8:05", "2025-06-15T08:05+02:00", "time"),
        ("08:05", "2025-06-15T08:05+02:00", "time"),
        ("2023-06", "2023-06-01T00:00+02:00", "month"),
        ("2023-6", "2023-06-01T00:00+02:00", "month"),
        ("2023", "2023-01-01T00:00+01:00", "year"),
    ],
)
def test_a_date_is_understood_as_exactly_as_it_was_written(text, start, precision):
    when = parse_when(text, NOW)

    assert when.start.isoformat(timespec="minutes") == start
    assert when.precision == precision


@pytest.mark.parametrize(
    ("words", "hemisphere", "first", "last"),
    [
        # Meteorological seasons: whole months, those of the south six months apart.
        ("2023-spring", "north", "2023-03-01", "2023-05-31"),
        ("2023-summer", "north", "2023-06-01", "2023-08-31"),
        ("2023 autumn", "north", "2023-09-01", "2023-11-30"),
        ("2023-fall", "north", "2023-09-01", "2023-11-30"),
        ("2023-winter", "north", "2023-12-01", "2024-02-29"),
        ("2023-spring", "south", "2023-09-01", "2023-11-30"),
        ("2023-summer", "south", "2023-12-01", "2024-02-29"),
        ("2023-autumn", "south", "2023-03-01", "2023-05-31"),
        ("2023-winter", "south", "2023-06-01", "2023-08-31"),
    ],
)
def test_a_season_is_the_one_of_the_makers_hemisphere(words, hemisphere, first, last):
    when = parse_when(words, NOW, hemisphere)

    assert when.precision == "season"
    assert (when.earliest.isoformat(), when.latest.isoformat()) == (first, last)


@pytest.mark.parametrize(
    "text",
    [
        "2025-02-30", "2025-13", "2025-00", "0000", "25:00", "2025-03-03 24:30", "soon",
        "32.3.2025", "03/33/2025", "next week", "2023-monsoon", "2025-3-3", "-2025",
        "2025-03-03 18:30 CET",
    ],
)  # fmt: skip
def test_what_is_no_date_is_refused_with_the_ways_to_write_one(text):
    with pytest.raises(MisusedError) as refused:
        parse_when(text, NOW)
    assert "summer 2023" in refused.value.do


@pytest.mark.parametrize("text", ["0001-01-01 00:00", "9999-12-31 23:59", "9999-winter", "9999"])
def test_a_date_at_the_end_of_the_calendar_is_refused_or_has_both_ends(text):
    """A slip of a finger must not end in a traceback of the calendar's."""
    for zone in (BERLIN, ZoneInfo("America/New_York")):
        try:
            when = parse_when(text, NOW.astimezone(zone))
        except MisusedError:
            continue
        assert when.earliest <= when.latest
        assert str(when)


@pytest.mark.parametrize("text", ["20250303", "2025-W10-1", "2025W101"])
def test_a_day_in_another_iso_form_is_not_taken_for_a_time_of_day(text):
    """ISO 8601 basic and week dates name a day: midnight would be a guess."""
    try:
        when = parse_when(text, NOW)
    except MisusedError:
        return
    assert (when.precision, when.earliest) == ("day", date(2025, 3, 3))


@USUAL
@given(
    st.text(max_size=30) | st.from_regex(r"\d{4}-[01]\d-[0-3]\d[ T][0-2]\d:[0-6]\d", fullmatch=True)
)
def test_any_text_is_a_date_or_is_refused(text):
    try:
        when = parse_when(text, NOW)
    except MisusedError:
        return
    assert when.earliest <= when.latest


# Every night of a year on which the clocks change


def changes_of(zone_name: str, year: int) -> list[tuple[datetime, timedelta]]:
    """Each change of a zone in a year: its instant in UTC, and by how much the clocks move.

    Found by walking the zone database through zoneinfo in steps of ten minutes.
    """
    zone, found = ZoneInfo(zone_name), []
    first = datetime(year, 1, 1, tzinfo=UTC)
    steps = [first + timedelta(minutes=10 * step) for step in range(366 * 144)]
    for before, after in pairwise(one.astimezone(zone) for one in steps):
        if before.utcoffset() != after.utcoffset():
            found.append((after.astimezone(UTC), after.utcoffset() - before.utcoffset()))
    return found


ZONES = ("Europe/Berlin", "America/New_York", "Australia/Lord_Howe", "America/Santiago")
NIGHTS = [(name, *change) for name in ZONES for change in changes_of(name, 2025)]


def around(zone_name: str, instant: datetime, moved: timedelta) -> tuple[ZoneInfo, datetime]:
    """The zone, and a local time in the middle of what is skipped or repeated."""
    zone = ZoneInfo(zone_name)
    local = (instant - timedelta(seconds=1)).astimezone(zone).replace(tzinfo=None)
    start = local + timedelta(seconds=1)
    middle = start + moved / 2 if moved > timedelta(0) else start + moved + abs(moved) / 2
    return zone, middle.replace(tzinfo=zone)


def test_each_of_these_zones_changes_twice_and_one_of_them_by_half_an_hour():
    """Europe and America move an hour, Lord Howe Island half of one (zone database)."""
    moved = {name: sorted(by for zone, _, by in NIGHTS if zone == name) for name in ZONES}
    hour, half = timedelta(hours=1), timedelta(minutes=30)

    assert moved["Australia/Lord_Howe"] == [-half, half]
    assert all(moved[name] == [-hour, hour] for name in ZONES if name != "Australia/Lord_Howe")


@pytest.mark.parametrize(("zone_name", "instant", "moved"), NIGHTS)
def test_a_day_without_a_time_keeps_its_date_when_the_clocks_change(zone_name, instant, moved):
    """In Santiago the clocks change at midnight itself."""
    zone, middle = around(zone_name, instant, moved)
    for day in (middle.date() + timedelta(days=step) for step in (-1, 0, 1)):
        when = When(midnight(day, zone), "day")
        assert (when.earliest, when.latest) == (day, day)
        assert parse_when(day.isoformat(), middle) == when
        assert datetime.fromisoformat(when.start.isoformat()).date() == day


@pytest.mark.parametrize(("zone_name", "instant", "moved"), NIGHTS)
def test_a_time_in_the_night_of_a_change_keeps_its_date(zone_name, instant, moved):
    _, middle = around(zone_name, instant, moved)
    when = parse_when(f"{middle:%Y-%m-%d %H:%M}", middle)

    assert when.earliest == when.latest == middle.date()
    assert f"{when.start:%H:%M}" == f"{middle:%H:%M}"


@pytest.mark.parametrize(("zone_name", "instant", "moved"), NIGHTS)
def test_a_digest_hour_comes_once_in_the_night_of_a_change(zone_name, instant, moved):
    """Skipped: as long after midnight as ever. Repeated: the first of the two."""
    zone, middle = around(zone_name, instant, moved)
    said = digest_instant(middle.date(), middle.time(), zone)

    # The offset before the change holds in both cases: seen from UTC, not from the clock.
    before = (instant - timedelta(hours=3)).astimezone(zone).utcoffset()
    assert said == middle.replace(tzinfo=None).replace(tzinfo=UTC) - before
    shown = said.astimezone(zone).replace(tzinfo=None)
    if moved > timedelta(0):
        assert said > instant
        assert shown == middle.replace(tzinfo=None) + moved
    else:
        assert said < instant
        assert shown == middle.replace(tzinfo=None)


@pytest.mark.parametrize(
    ("day", "hour", "instant"),
    [
        # Worked by hand from the rule of Directive 2000/84/EC (from memory): Central European
        # clocks change at 01:00 UTC on the last Sundays of March and October.
        ("2025-03-29", "08:00", "2025-03-29T07:00"),
        ("2025-03-30", "08:00", "2025-03-30T06:00"),
        ("2025-03-30", "02:30", "2025-03-30T01:30"),
        ("2025-10-26", "02:30", "2025-10-26T00:30"),
        ("2025-10-26", "08:00", "2025-10-26T07:00"),
    ],
)
def test_berlin_digests_come_at_these_instants(day, hour, instant):
    said = digest_instant(date.fromisoformat(day), time.fromisoformat(hour), BERLIN)

    assert said == datetime.fromisoformat(instant).replace(tzinfo=UTC)


@pytest.mark.parametrize(("zone_name", "instant", "moved"), NIGHTS)
def test_days_on_the_herb_are_calendar_days_over_a_short_or_long_night(zone_name, instant, moved):
    """28 days are 28 dates, though they are an hour more or less than 28 times 24."""
    zone, middle = around(zone_name, instant, moved)
    charged_on = middle.date() - timedelta(days=14)
    for hour in (0, 12, 23):
        charge = moment(datetime.combine(charged_on, time(hour, 30), zone))
        one = OneJar.charged(charge, least="P28D")
        ready = charged_on + timedelta(days=28)

        assert amounts.earliest_press(one.now()) == ready
        assert not amounts.is_ready(one.now(), ready - timedelta(days=1))
        assert amounts.is_ready(one.now(), ready)

        one.press(moment(datetime.combine(ready, time(0, 10), zone)))
        assert amounts.days_on_herb(one.now(), ready) == (28, 28)
