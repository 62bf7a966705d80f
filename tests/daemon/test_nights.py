"""The nights when the clocks change, and 29 February: asked every minute, told once a day."""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest

from tracker.core.practice.practice import Practice
from tracker.core.rules.morning import Told, after_telling, is_time

# The zone, the digest hour, the day, and the instant it falls on: by hand from the offsets of
# the tz database (Berlin +1/+2, New York -5/-4, Lord Howe +10:30/+11).
NIGHTS = [
    ("Europe/Berlin", "02:30", "2025-03-30", "2025-03-30 01:30"),  # skipped: 03:30 summer time
    ("Europe/Berlin", "02:30", "2025-10-26", "2025-10-26 00:30"),  # twice: the first
    ("Europe/Berlin", "08:00", "2025-03-30", "2025-03-30 06:00"),
    ("Europe/Berlin", "08:00", "2025-10-26", "2025-10-26 07:00"),
    ("America/New_York", "02:30", "2025-03-09", "2025-03-09 07:30"),
    ("America/New_York", "01:30", "2025-11-02", "2025-11-02 05:30"),
    ("America/New_York", "08:00", "2025-03-09", "2025-03-09 12:00"),
    ("Australia/Lord_Howe", "02:15", "2025-10-05", "2025-10-04 15:45"),  # by half an hour
    ("Australia/Lord_Howe", "01:45", "2025-04-06", "2025-04-05 14:45"),
    ("Europe/Berlin", "08:00", "2024-02-29", "2024-02-29 07:00"),
]


@pytest.mark.parametrize(("zone", "hour", "day", "instant"), NIGHTS)
def test_one_digest_a_day_and_at_its_instant(zone, hour, day, instant):
    where, the_day = ZoneInfo(zone), date.fromisoformat(day)
    practice = Practice(zone=zone, digest_at=time.fromisoformat(hour))
    told, told_at = Told(last_digest=the_day - timedelta(days=2)), []
    minute = datetime.combine(the_day - timedelta(days=1), time(0), where).astimezone(UTC)
    for _ in range(72 * 60):
        if is_time(minute.astimezone(where), practice, told):
            told_at.append(minute)
            told = after_telling(told, [], minute.astimezone(where).date())
        minute += timedelta(minutes=1)

    days = [at.astimezone(where).date() for at in told_at]
    assert days == [the_day + timedelta(days=number) for number in (-1, 0, 1)]
    assert told_at[1] == datetime.fromisoformat(instant).replace(tzinfo=UTC)
