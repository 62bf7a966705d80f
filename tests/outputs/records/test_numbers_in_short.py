"""Numbers, codes, lines and days in few words."""

from datetime import date

import pytest

from tracker.outputs.records.numbers_in_short import (
    codes_in_short,
    days_in_short,
    lines_in_short,
    numbers_in_short,
)


def days(*texts: str) -> list[date]:
    return [date.fromisoformat(one) for one in texts]


def test_numbers_that_follow_each_other_are_said_by_their_ends():
    assert numbers_in_short([3, 1, 2, 5, 5, 8, 9]) == "1–3, 5, 8–9"


def test_bottles_stand_behind_what_they_are_of():
    assert codes_in_short(["CAOF-25-01A/2", "CAOF-25-01A/1"]) == "CAOF-25-01A/1–2"
    assert codes_in_short(["CAOF-25-01A", "CAOF-25-01A/1", "MIX"]) == "CAOF-25-01A, /1, MIX"


def test_a_code_that_looks_like_a_bottle_and_is_none_stays_as_it_is():
    assert codes_in_short(["A/B", "X/²"]) == "A/B, X/²"


def test_lines_are_said_by_their_writer():
    assert lines_in_short(["h802", "h803", "c7", "h805"]) == "h802–803, 805; c7"
    assert lines_in_short(["12", "13", "odd"]) == "12–13; odd"


@pytest.mark.parametrize(
    ("found", "said"),
    [
        (days("2026-02-02", "2026-02-03", "2026-02-04", "2026-02-06"), "2–4 Feb, 6 Feb 2026"),
        (days("2026-02-28", "2026-03-01"), "28 Feb – 1 Mar 2026"),
        (days("2025-12-26", "2026-01-02"), "26 Dec 2025, 2 Jan 2026"),
        (days("2025-12-31", "2026-01-01"), "31 Dec 2025 – 1 Jan 2026"),
    ],
)
def test_days_say_their_year_where_it_changes(found, said):
    assert days_in_short(found) == said
