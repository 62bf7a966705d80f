"""The same words soon after: asked about once, and whatever is another thing is not."""

from datetime import UTC, datetime, timedelta

import pytest
from msgspec.structs import replace

from tests.lives import a_charge, on
from tracker.core.facts.amendments import Struck
from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import Dispensed
from tracker.core.facts.fields import About
from tracker.core.facts.kinds import AnyFact
from tracker.core.rules.checks.repeated import repeated
from tracker.core.values.times import When, moment

NOW = datetime(2026, 1, 1, 12, 0, tzinfo=UTC)
GIVEN = Dispensed(about=About(jar="j", extract="x"), volume_ml=100.0, reference="P03")


def entry(
    fact: AnyFact, *, ago_s: float = 0.0, when: When | None = None, code: str = "CAOF-25-01A"
) -> Entry:
    at = NOW - timedelta(seconds=ago_s)
    number = 214 if ago_s else 215
    return Entry(f"id-{number}", "bench", number, code, when or moment(at), at, fact)


def asked(again: Entry, *recent: Entry, now: datetime = NOW) -> list[str]:
    return [one.what for one in repeated(again, recent, now, {"id-214": "214"})]


def test_the_same_two_minutes_later_is_asked_about_by_its_number():
    assert asked(entry(GIVEN), entry(GIVEN, ago_s=130)) == [
        "the same was recorded 2 minutes ago, as entry 214"
    ]


@pytest.mark.parametrize(
    ("changed", "is_asked"),
    [
        ({}, True),
        ({"volume_ml": 50.0}, False),
        ({"reference": "P04"}, False),
        ({"by": "Anna"}, False),
        ({"note": "the second"}, False),
        ({"about": About(jar="j", extract="y")}, False),
    ],
)
def test_one_word_of_difference_is_another_thing(changed, is_asked):
    assert bool(asked(entry(replace(GIVEN, **changed)), entry(GIVEN, ago_s=60))) is is_asked


@pytest.mark.parametrize(("ago_s", "is_asked"), [(1, True), (599, True), (601, False)])
def test_it_is_asked_about_for_ten_minutes(ago_s, is_asked):
    assert bool(asked(entry(GIVEN), entry(GIVEN, ago_s=ago_s))) is is_asked


def test_another_day_is_another_thing_and_the_same_day_said_is_not():
    given = entry(GIVEN, ago_s=60, when=on("2025-12-24"))

    assert asked(entry(GIVEN, when=on("2025-12-24")), given)
    assert not asked(entry(GIVEN, when=on("2025-12-25")), given)
    assert not asked(entry(GIVEN), given)


def test_a_new_charge_gets_a_new_code_and_is_the_same_all_the_same():
    first, second = (a_charge(code=f"CAOF-25-0{number}") for number in (1, 2))
    again = entry(second, code="CAOF-25-02")

    (what,) = asked(again, entry(first, ago_s=60, code="CAOF-25-01"))
    assert what.endswith("as entry 214 (CAOF-25-01)")
    assert not asked(again, entry(replace(first, code="DOUBLE"), ago_s=60))  # another word


def test_what_was_struck_or_corrected_since_was_seen_and_is_no_lost_answer():
    struck = Entry(
        "s",
        "bench",
        215,
        "CAOF-25-01A",
        moment(NOW),
        NOW,
        Struck(event="id-214", jars=("j",), why=""),
    )
    assert not asked(entry(GIVEN), entry(GIVEN, ago_s=60), struck)


def test_a_clock_that_was_set_back_an_hour_hides_no_repeat():
    """The second line gets the first one's recordedtime, so that times do not go back."""
    earlier = entry(GIVEN, ago_s=60, when=on("2025-12-24"))
    again = entry(GIVEN, when=on("2025-12-24"))

    assert asked(again, earlier, now=NOW - timedelta(hours=1))


def test_nor_where_both_were_said_of_the_moment_they_were_said_in():
    set_back = NOW - timedelta(hours=1)

    assert asked(entry(GIVEN, when=moment(set_back)), entry(GIVEN, ago_s=60), now=set_back)


def test_it_is_the_same_question_a_minute_later():
    """So that a yes holds, however long it took to answer."""
    earlier, (first, second) = entry(GIVEN, ago_s=60), (NOW, NOW + timedelta(minutes=3))
    (one,), (other,) = (
        repeated(entry(GIVEN, when=moment(now)), [earlier], now, {}) for now in (first, second)
    )

    assert one.what != other.what
    assert one.question == other.question
