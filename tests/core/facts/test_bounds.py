"""The bounds of what an event can say: within them nothing that is reckoned runs over."""

from datetime import UTC, date, datetime, timedelta, timezone
from typing import get_args
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from tests.hypothesis_profile import USUAL, searching
from tests.lives import KINDS, OneJar, facts_of, on
from tracker.core.facts.amendments import Away, Corrected, Later
from tracker.core.facts.bounds import beyond_bounds
from tracker.core.facts.entry import Entry, order_key, replay_order
from tracker.core.facts.extracts import Bottled, BottleRun
from tracker.core.facts.fields import About
from tracker.core.facts.jars import Charged
from tracker.core.practice.shake_plan import ShakePhase
from tracker.core.replay.in_force import with_values
from tracker.core.replay.replay import replay
from tracker.core.values.times import (
    FIRST_YEAR,
    FIRST_YEAR_READ,
    LAST_YEAR,
    LAST_YEAR_READ,
    LONGEST_DAYS,
    LONGEST_MONTHS,
    Period,
    Precision,
    When,
    is_period,
    parse_period,
)

# The edges are where something runs over: most examples lie there.
_years = st.sampled_from([FIRST_YEAR_READ, LAST_YEAR_READ]) | st.integers(
    FIRST_YEAR_READ, LAST_YEAR_READ
)
_days_of_year = st.sampled_from([(1, 1), (2, 28), (12, 31)]) | st.tuples(
    st.integers(1, 12), st.integers(1, 28)
)
# The offsets that RFC 3339 can write go this far.
_offsets = st.sampled_from([-1439, 0, 1439]) | st.integers(-1439, 1439)
_clocks = st.sampled_from([(0, 0, 0, 0), (23, 59, 59, 999_999)])


@st.composite
def instants(draw):
    day, clock = draw(_days_of_year), draw(_clocks)
    zone = timezone(timedelta(minutes=draw(_offsets)))
    return datetime(draw(_years), *day, *clock, tzinfo=zone)


whens = st.builds(When, instants(), st.sampled_from(get_args(Precision)))
periods = st.sampled_from(["P100Y", "P1200M36525D", "P36525D", "P0D", "P1M"])


@USUAL
@given(whens, instants(), st.sampled_from(["Pacific/Kiritimati", "Etc/GMT+12", "Europe/Berlin"]))
def test_any_time_within_the_bounds_has_its_days_and_its_place(when, recorded, zone):
    entry = Entry("event-0001", "kitchen", 1, "", when, recorded, OneJar.charged().entries[0].fact)

    assert beyond_bounds(when, recorded, entry.fact) is None
    assert when.earliest <= when.latest or when.precision == "unknown"
    assert when.last >= when.start
    assert str(when)
    assert when.start.astimezone(ZoneInfo(zone)).astimezone(UTC) == when.start
    assert order_key(entry) == order_key(replace(entry))
    assert replay_order(entry) <= (max(when.last, recorded, when.start), recorded, "kitchen", 1)


@USUAL
@given(instants(), periods, periods)
def test_the_longest_periods_from_any_day_within_the_bounds_end_on_a_day(start, one, other):
    assert is_period(one)
    first, second = parse_period(one), parse_period(other)

    assert second.after(first.after(start.date())) >= start.date()
    assert first.before(start.date()) <= start.date()


def test_the_bounds_are_wider_than_what_may_be_typed():
    longest = Period(LONGEST_MONTHS, LONGEST_DAYS)

    assert longest.after(date(LAST_YEAR, 12, 31)).year <= LAST_YEAR_READ + 1
    assert FIRST_YEAR_READ < FIRST_YEAR < LAST_YEAR < LAST_YEAR_READ


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.__name__)
def test_a_book_replays_whatever_lies_within_the_bounds(kind):
    @searching(15)
    @given(whens, instants(), facts_of(kind))
    def replays(when, recorded, fact):
        if beyond_bounds(when, recorded, fact) is None:
            one = OneJar.charged()
            entry = Entry("event-0001", "kitchen-anna", 99, "CAOF-25-01", when, recorded, fact)
            replay([*one.entries, entry])
            replay([*one.entries, entry], through=date(2026, 1, 1))

    replays()


@pytest.mark.parametrize(
    "values",
    [
        {"time": "9999-12-31T23:59:00Z"},
        {"time": "0001-01-01T00:00:00+14:00"},
        {"time": "9999-12-01T00:00:00Z", "precision": "year"},
        {"time": "2025-03-03T00:00:00"},
        {"longest": "P99999Y"},
        {"shake": [{"every_days": 10**12}]},
    ],
    ids=str,
)
def test_no_correction_leads_beyond_the_bounds(values):
    """One that is in a book all the same means nothing, and is flagged."""
    one = OneJar.charged()
    charge = one.entries[0].id
    with pytest.raises(ValueError, match=r"year|offset|span|days"):
        with_values(one.entries[0], values)
    one.then(Corrected(event=charge, jars=(charge,), set=values, why="a slip"), "2025-04-01")

    (jar,) = replay(one.entries).jars.values()
    assert [flag.misfit.__class__.__name__ for flag in jar.flags] == ["CannotCorrect"]


def test_what_lies_beyond_is_named():
    when, now, about = on("2025-03-03"), datetime(2025, 3, 3, tzinfo=UTC), About(jar="jar-0001")
    late = date(9999, 12, 31)

    def says(fact, when=when, now=now):
        return beyond_bounds(when, now, fact)

    away = Away(first=date(2025, 1, 1), last=date(2025, 1, 2))
    assert says(away) is None
    assert "the year 1" in says(away, now=datetime(1, 1, 1, tzinfo=UTC))
    assert "the year 9999" in says(away, when=When(datetime(9999, 1, 1, tzinfo=UTC)))
    assert says(replace(away, last=late)) == "last: nothing can be dated in the year 9999"
    assert "until: " in says(Later(about=about, what="ready", until=late))
    charge = OneJar.charged().entries[0].fact
    assert isinstance(charge, Charged)
    assert "least: " in says(replace(charge, least="P101Y"))
    assert "the shake plan" in says(replace(charge, shake=(ShakePhase(1, through_day=10**9),)))
    runs = tuple(BottleRun(size_ml=10.0, count=10_000, first=1) for _ in range(11))
    assert "bottles" in says(Bottled(about=about, bottles=runs))
