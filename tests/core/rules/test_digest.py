"""When it is time for a digest, and which lines it says, told the marks of earlier ones."""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.hypothesis_profile import USUAL
from tests.lives import OneJar, books
from tracker.core.facts.amendments import Corrected, Later
from tracker.core.facts.jars import LookedAt
from tracker.core.practice.practice import Practice
from tracker.core.practice.shake_plan import parse_shake_plan
from tracker.core.replay.replay import replay
from tracker.core.rules.morning import (
    Told,
    after_telling,
    is_time,
    is_urgent,
    lines_to_say,
    mark,
    without,
)
from tracker.core.rules.reasons import GoodThrough
from tracker.core.rules.reminders import DAILY, Due

BERLIN = ZoneInfo("Europe/Berlin")
HOUSE = Practice()  # a digest at 08:00, awake from 08:00 until 21:00
NEVER = Told()
DAY_11, DAY_12 = date(2025, 3, 11), date(2025, 3, 12)


def local(text: str) -> datetime:
    """A local time in Berlin."""
    return datetime.fromisoformat(text).replace(tzinfo=BERLIN)


def mornings(one: OneJar, first: str, last: str) -> dict[str, list[str]]:
    """What each morning's digest says about one jar that nobody touches in between."""
    day, told, said = date.fromisoformat(first), NEVER, {}
    while day <= date.fromisoformat(last):
        lines = lines_to_say([one.now()], HOUSE, day, told)
        told = after_telling(told, lines, day)
        said[day.isoformat()] = [line.what for line in lines]
        day += timedelta(days=1)
    return said


# Time


@pytest.mark.parametrize(
    ("now", "told_on", "is_due"),
    [
        ("2025-03-11T07:59", None, False),
        ("2025-03-11T08:00", None, True),
        ("2025-03-11T08:00", "2025-03-11", False),
        ("2025-03-11T08:00", "2025-03-10", True),
        ("2025-03-11T13:20", "2025-03-10", True),  # asleep from seven: one digest on waking
        ("2025-03-11T20:59", "2025-03-10", True),
        ("2025-03-11T21:00", "2025-03-10", False),  # asleep all day: nothing that night
        ("2025-03-11T21:40", "2025-03-10", False),
        ("2025-03-12T03:00", "2025-03-10", False),
        ("2025-03-12T08:00", "2025-03-10", True),
        ("2025-03-11T08:00", "2025-03-12", False),  # the clock was set back
    ],
)
def test_one_digest_a_day_at_its_hour_or_on_waking_and_none_at_night(now, told_on, is_due):
    told = Told(date.fromisoformat(told_on)) if told_on else NEVER

    assert is_time(local(now), HOUSE, told) is is_due


def test_an_early_digest_hour_is_the_makers_own_wish():
    early = Practice(digest_at=time(5, 30))

    assert is_time(local("2025-03-11T05:30"), early, NEVER)
    assert not is_time(local("2025-03-11T05:29"), early, NEVER)


def test_a_digest_hour_after_the_waking_hours_is_kept_too():
    late = Practice(digest_at=time(22))

    assert is_time(local("2025-03-11T22:00"), late, NEVER)
    assert not is_time(local("2025-03-11T21:59"), late, NEVER)


@pytest.mark.parametrize("day", ["2025-03-30", "2025-10-26"])
def test_a_digest_hour_in_the_night_of_a_change_comes_once(day):
    """Every ten minutes of that day, as the daemon's heartbeat would ask."""
    at_half_past_two = Practice(digest_at=time(2, 30), waking_from=time(2))
    told, times = NEVER, []
    moment = local(f"{day}T00:00").astimezone(UTC)
    for step in range(25 * 6):
        now = (moment + timedelta(minutes=10 * step)).astimezone(BERLIN)
        if now.date().isoformat() == day and is_time(now, at_half_past_two, told):
            told = after_telling(told, [], now.date())
            times.append(now.astimezone(UTC).isoformat())

    # 02:30 is skipped in March, so 03:30 summer time; in October the first of the two.
    assert times == [
        "2025-03-30T01:30:00+00:00" if day == "2025-03-30" else "2025-10-26T00:30:00+00:00"
    ]


def test_a_present_without_a_zone_is_a_mistake_of_the_program():
    with pytest.raises(ValueError):
        is_time(datetime(2025, 3, 11, 8), HOUSE, NEVER)  # noqa: DTZ001 - the mistake itself


# Lines


def test_ready_is_said_once_and_a_shake_every_morning_until_it_is_done():
    one = OneJar.charged("2025-03-03", least="P28D", shake=())
    said = mornings(one, "2025-03-30", "2025-04-03")
    assert said == {
        "2025-03-30": [], "2025-03-31": ["ready"], "2025-04-01": [], "2025-04-02": [],
        "2025-04-03": [],
    }  # fmt: skip

    daily = OneJar.charged("2025-03-03", shake=parse_shake_plan("daily 14d"))
    assert set(map(tuple, mornings(daily, "2025-03-04", "2025-03-17").values())) == {("shake",)}


def test_what_became_ready_on_a_day_without_a_digest_is_said_on_the_next():
    one = OneJar.charged("2025-06-12", least="P28D", shake=())
    told = Told(date(2025, 7, 4))
    lines = lines_to_say([one.now()], HOUSE, date(2025, 7, 20), told)

    assert [(line.what, line.since) for line in lines] == [("ready", date(2025, 7, 10))]
    told = after_telling(told, lines, date(2025, 7, 20))
    assert lines_to_say([one.now()], HOUSE, date(2025, 7, 21), told) == []


def test_what_was_ready_before_the_book_was_opened_is_said_once_as_well():
    """A jar that is entered from a notebook, in a book that has had its digests for a year."""
    one = OneJar.charged("2024-06-12", least="P28D", shake=())
    told, said = Told(date(2025, 7, 19), digests=(date(2024, 7, 1),)), []
    for day in (20, 21, 22):
        lines = lines_to_say([one.now()], HOUSE, date(2025, 7, day), told)
        told = after_telling(told, lines, date(2025, 7, day))
        said.append([line.what for line in lines])

    assert said == [["ready"], [], []]


def test_a_jar_that_is_shaken_daily_is_said_to_be_ready_once_beside_its_shake():
    """The shake comes first every morning, and would keep the other unsaid for good."""
    one = OneJar.charged("2025-03-03", least="P5D", shake=parse_shake_plan("daily"))
    told, said = NEVER, []
    for day in (7, 8, 9):
        (line,) = lines_to_say([one.now()], HOUSE, date(2025, 3, day), told)
        told = after_telling(told, [line], date(2025, 3, day))
        said.append((line.what, line.also and (line.also.what, line.also.since)))

    assert said == [("shake", None), ("shake", ("ready", date(2025, 3, 8))), ("shake", None)]


def test_what_is_on_hold_is_not_said_to_be_ready_in_a_second_digest_of_the_day():
    one = OneJar.charged("2025-03-03", least="P28D", shake=())
    one.then(LookedAt(about=one.jar, verdict="hold", signs=("mould",)), "2025-04-02")
    today = date(2025, 4, 3)
    lines = lines_to_say([one.now()], HOUSE, today, NEVER)
    told = after_telling(NEVER, lines, today)

    assert [line.what for line in lines] == ["safety"]
    assert lines_to_say([one.now()], HOUSE, today, told) == []


def test_what_is_past_its_longest_is_not_said_to_be_ready_beside():
    one = OneJar.charged("2025-07-01", least="P5D", longest="P7D", shake=())
    today = date(2025, 7, 20)
    lines = lines_to_say([one.now()], HOUSE, today, NEVER)
    assert [line.what for line in lines] == ["past-longest"]

    assert lines_to_say([one.now()], HOUSE, today, after_telling(NEVER, lines, today)) == []


def test_a_ready_line_that_stood_behind_a_hold_is_said_when_the_hold_is_over():
    """One line a code, safety first: the line that gave way must not be lost."""
    one = OneJar.charged("2025-03-03", least="P28D", shake=())
    one.then(LookedAt(about=one.jar, verdict="hold", signs=("flecks",)), "2025-03-29")
    told, said = Told(date(2025, 3, 29)), []
    for day in (30, 31):
        lines = lines_to_say([one.now()], HOUSE, date(2025, 3, day), told)
        told = after_telling(told, lines, date(2025, 3, day))
        said += [line.what for line in lines]
    one.then(LookedAt(about=one.jar, verdict="fine"), "2025-03-31")
    lines = lines_to_say([one.now()], HOUSE, date(2025, 4, 1), told)

    assert said == ["safety", "safety"]
    assert [line.what for line in lines] == ["ready"]


def test_expiring_and_expired_are_each_said_once():
    one = OneJar.charged()
    one.press("2025-06-03", keeps="P12M")
    said = mornings(one, "2026-05-01", "2026-06-10")

    assert {day: lines for day, lines in said.items() if lines} == {
        "2026-05-04": ["expiring"],
        "2026-06-04": ["expired"],
    }


def test_a_line_said_on_a_day_is_not_said_again_that_day():
    """The marks of one delivery hold for a second digest of the same day."""
    one = OneJar.charged("2025-03-03", lid="metal")
    today = date(2025, 3, 4)
    lines = lines_to_say([one.now()], HOUSE, today, NEVER)
    told = after_telling(NEVER, lines, today)

    assert [line.what for line in lines] == ["safety"]
    assert "safety" not in [one.what for one in lines_to_say([one.now()], HOUSE, today, told)]
    assert [one.what for one in lines_to_say([one.now()], HOUSE, date(2025, 3, 5), told)] == [
        "safety"
    ]


def test_a_new_reason_under_the_same_code_is_said_though_the_old_one_was():
    """The mark holds since when: a second hold is another line."""
    one = OneJar.charged(shake=())
    one.then(LookedAt(about=one.jar, verdict="hold"), "2025-03-10")
    today = date(2025, 3, 11)
    told = after_telling(NEVER, lines_to_say([one.now()], HOUSE, today, NEVER), today)
    one.then(LookedAt(about=one.jar, verdict="fine"), "2025-03-11")
    one.then(LookedAt(about=one.jar, verdict="hold"), "2025-03-11")

    assert [line.what for line in lines_to_say([one.now()], HOUSE, today, told)] == ["safety"]


def test_marks_are_kept_long_enough_and_then_fall_away():
    line = Due("CAOF-25-01A", "expired", date(2025, 6, 4), (GoodThrough(date(2025, 6, 3), 10.0),))
    told = after_telling(NEVER, [line], date(2025, 6, 4))
    assert told.last_digest == date(2025, 6, 4)
    assert told.said == {mark(line): date(2025, 6, 4)}

    assert mark(line) in after_telling(told, [], date(2027, 6, 3)).said
    assert mark(line) not in after_telling(told, [], date(2027, 6, 5)).said


@USUAL
@given(books(), st.dates(date(2025, 3, 1), date(2026, 12, 1)), st.integers(1, 40))
def test_a_second_digest_of_a_day_says_only_what_gave_way_in_the_first(book, today, gap):
    """Nothing the first one told comes again that day; the next day only what is daily."""
    jars = list(replay(book).jars.values())
    told = Told(today - timedelta(days=gap))
    first = lines_to_say(jars, HOUSE, today, told)
    told = after_telling(told, first, today)
    second = lines_to_say(jars, HOUSE, today, told)

    assert not {mark(line) for line in first} & {mark(line) for line in second}
    tomorrow = lines_to_say(jars, HOUSE, today + timedelta(days=1), told)
    again = {mark(line) for line in first} & {mark(line) for line in tomorrow}
    assert all(line.what in DAILY for line in tomorrow if mark(line) in again)


# Urgency


def urgent_on(one: OneJar, days: list[str]) -> list[bool]:
    """Whether each of these mornings has a line that is pressing for the first time."""
    told, said = NEVER, []
    for text in days:
        day = date.fromisoformat(text)
        lines = lines_to_say([one.now()], HOUSE, day, told)
        said.append(any(is_urgent(line, told, day) for line in lines))
        told = after_telling(told, lines, day)
    return said


def held_on(day: str) -> OneJar:
    one = OneJar.charged("2025-03-03", shake=())
    one.then(LookedAt(about=one.jar, verdict="hold", signs=("mould",)), day)
    return one


def test_a_hold_is_pressing_on_its_first_morning_and_then_said_like_the_rest():
    assert urgent_on(held_on("2025-03-10"), ["2025-03-11", "2025-03-12", "2025-03-13"]) == [
        True, False, False,
    ]  # fmt: skip


def test_a_hold_is_pressing_on_the_first_morning_that_anybody_is_told():
    """The machine was off on the day itself, and for a week afterwards."""
    days = ["2025-03-18", "2025-03-25"]

    assert urgent_on(held_on("2025-03-10"), days) == [True, False]


def test_what_was_released_and_held_again_is_news_even_on_the_same_day():
    one = held_on("2025-03-10")
    told = after_telling(NEVER, lines_to_say([one.now()], HOUSE, DAY_11, NEVER), DAY_11)
    one.then(LookedAt(about=one.jar, verdict="fine"), "2025-03-10")
    one.then(LookedAt(about=one.jar, verdict="hold", signs=("mould",)), "2025-03-10")
    (line,) = lines_to_say([one.now()], HOUSE, DAY_12, told)

    assert line.since == date(2025, 3, 10)
    assert is_urgent(line, told, DAY_12)


def test_a_hold_whose_day_was_corrected_is_no_news():
    one = held_on("2025-03-10")
    told = after_telling(NEVER, lines_to_say([one.now()], HOUSE, DAY_11, NEVER), DAY_11)
    moved = {"time": "2025-03-08T00:00:00+01:00"}
    one.then(
        Corrected(event=one.entries[-1].id, jars=(one.jar.jar,), set=moved, why="slip"),
        "2025-03-11",
    )
    (line,) = lines_to_say([one.now()], HOUSE, DAY_12, told)

    assert line.since == date(2025, 3, 8)
    assert not is_urgent(line, told, DAY_12)


def test_a_hold_over_a_bare_lid_is_news_and_the_lid_behind_it_is_none():
    one = OneJar.charged("2025-03-03", lid="metal", shake=())
    days = ["2025-03-04", "2025-03-05"]
    assert urgent_on(one, days) == [True, False]

    told = after_telling(NEVER, due_on(one, "2025-03-05"), date(2025, 3, 5))
    one.then(LookedAt(about=one.jar, verdict="hold"), "2025-03-03")
    (held,) = lines_to_say([one.now()], HOUSE, date(2025, 3, 6), told)
    assert is_urgent(held, told, date(2025, 3, 6))

    told = after_telling(told, [held], date(2025, 3, 6))
    one.then(LookedAt(about=one.jar, verdict="fine"), "2025-03-06")
    (lid,) = lines_to_say([one.now()], HOUSE, date(2025, 3, 7), told)
    assert not is_urgent(lid, told, date(2025, 3, 7))


def test_a_longest_time_is_pressing_once_and_not_when_it_was_put_off():
    one = OneJar.charged("2025-07-01", least="P5D", longest="P7D", shake=())
    days = ["2025-07-09", "2025-07-10"]
    assert urgent_on(one, days) == [True, False]

    told = after_telling(NEVER, due_on(one, "2025-07-09"), date(2025, 7, 9))
    one.then(Later(about=one.jar, what="past-longest", until=date(2025, 7, 20)), "2025-07-09")
    (line,) = due_on(one, "2025-07-20")
    assert line.again == date(2025, 7, 20)
    assert not is_urgent(line, told, date(2025, 7, 20))


def test_a_last_good_day_that_is_over_is_pressing_and_a_shake_never_is():
    one = OneJar.charged()
    one.press("2025-06-03", keeps="P12M")
    assert urgent_on(one, ["2026-05-04", "2026-06-04", "2026-06-05"]) == [False, True, False]

    assert urgent_on(OneJar.charged("2025-03-03"), ["2025-03-04"]) == [False]


def test_a_second_message_of_the_day_is_not_pressing_again():
    """The book was not whole when the first was made, so that its lines are said once more."""
    one = held_on("2025-03-10")
    told = after_telling(NEVER, due_on(one, "2025-03-11"), DAY_11)
    (line,) = lines_to_say([one.now()], HOUSE, DAY_11, without(told, DAY_11))

    assert not is_urgent(line, told, DAY_11)


def test_a_mark_made_under_a_clock_ahead_leaves_it_pressing():
    one = held_on("2025-03-10")
    (line,) = due_on(one, "2025-03-11")
    ahead = Told(date(2030, 1, 1), {mark(line): date(2030, 1, 1)})

    assert is_urgent(line, ahead, DAY_11)


def due_on(one: OneJar, day: str) -> list[Due]:
    return lines_to_say([one.now()], HOUSE, date.fromisoformat(day), NEVER)
