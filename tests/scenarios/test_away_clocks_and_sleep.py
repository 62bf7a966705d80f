"""Reminders over a holiday, a longest time, both clock changes and a sleeping laptop.

Invented, Europe/Berlin 2025; answers worked by hand. The maker is away 5 to 19 July.
"""

import io
import shutil
from datetime import UTC, date, datetime, time
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from tests.command import Command
from tracker.core.practice.practice import Practice
from tracker.core.rules.morning import Told, digest_instant, is_time
from tracker.daemon.buttons import record_press
from tracker.daemon.deliver import MARKS
from tracker.daemon.notify import Chain, Terminal
from tracker.daemon.ticker import tick

BERLIN = ZoneInfo("Europe/Berlin")
AT_HALF_PAST_TWO = Practice(zone="Europe/Berlin", digest_at=time(2, 30))
HERB = '--dried 50g --pour "250 ml 45%"'
STORY = (
    f'charge "citrus" --part peel {HERB} --least 5d --longest 7d --shake none --code A1 '
    "--when 2025-07-01",
    f'charge "bitterleaf" {HERB} --least 28d --shake none --code B1 --when 2025-06-12',
    f'charge "cowherb" {HERB} --least 42d --shake "daily 14d" --code C1 --when 2025-07-01',
    "shake C1 --when 2025-07-02",
    "shake C1 --when 2025-07-03",
)


@pytest.fixture(scope="module")
def _three_jars(tmp_path_factory) -> Path:
    command = Command(tmp_path_factory.mktemp("three")).practice('zone = "Europe/Berlin"\n')
    for line in STORY:
        command.ok(line)
    return command.book


@pytest.fixture
def three(tmp_path, _three_jars) -> Command:
    """The command with a copy of the three jars, and nothing told yet."""
    command = Command(tmp_path)
    shutil.copytree(_three_jars, command.book)
    return command


def said_at(command: Command, local: str, stream: io.StringIO | None = None) -> list[str]:
    """What a heartbeat of the daemon prints at that local time."""
    stream = stream or io.StringIO()
    tick(command.bench(local), Chain([Terminal(stream, is_read=True)]))
    return [] if stream.closed else stream.getvalue().splitlines()


def utc(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


def test_the_dates_of_the_three_jars(three):
    a, b, c = (three.asked(f"show {code} --on 2025-07-04") for code in ("A1", "B1", "C1"))

    assert (a["earliest_press"], a["longest"]) == ("2025-07-06", "2025-07-08")
    assert b["earliest_press"] == "2025-07-10"
    assert c["earliest_press"] == "2025-08-12"


def test_the_last_day_of_the_longest_time_is_not_past_it(three):
    eighth, ninth = (three.asked(f"due --on 2025-07-0{day}") for day in (8, 9))

    assert "past-longest" not in {line["what"] for line in eighth}
    assert {line["code"]: line["what"] for line in ninth}["A1"] == "past-longest"


def test_shaking_ends_with_its_phase(three):
    last, after = (
        {line["code"]: line["what"] for line in three.asked(f"due --on 2025-07-{day}")}
        for day in (15, 16)
    )

    assert last["C1"] == "shake"
    assert "C1" not in after


def test_one_digest_after_a_fortnight_away_and_no_list_of_missed_shakes(three):
    before = said_at(three, "2025-07-04 08:00")
    after = said_at(three, "2025-07-20 08:00")

    assert before[1:] == ["  Cowherb C1: shake it, last shaken Thu"]
    assert after[1:] == [
        "  Citrus peel A1: 12 days past its longest: press it",
        "  Bitterleaf B1: ready to press since 10 Jul",
    ]
    assert said_at(three, "2025-07-20 08:01") == []


def test_the_last_digest_before_leaving_says_what_will_happen_meanwhile(three):
    three.ok("away 2025-07-05 2025-07-19 --when 2025-07-03")

    title, *lines = said_at(three, "2025-07-04 08:00")

    assert title == "Stillroom · 2 while you are away, 1 to shake"
    assert lines == [
        "  Citrus peel A1: while you are away: ready 6 Jul, longest time ends 8 Jul",
        "  Bitterleaf B1: while you are away: ready 10 Jul (no hurry)",
        "  Cowherb C1: shake it, last shaken Thu",
    ]


def test_fifteen_silent_mornings_and_then_one_digest_with_one_line_a_jar(three):
    three.ok("away 2025-07-05 2025-07-19 --when 2025-07-03")
    said_at(three, "2025-07-04 08:00")
    silent = [said_at(three, f"2025-07-{day:02d} 08:00") for day in range(5, 20)]

    title, a, b = said_at(three, "2025-07-20 08:00")

    assert silent == [[]] * 15
    assert title == "! Stillroom · 1 to look at, 1 ready"
    assert a == "  Citrus peel A1: 12 days past its longest: press it"
    assert b == "  Bitterleaf B1: ready to press since 10 Jul"
    assert said_at(three, "2025-07-20 08:01") == []


def test_a_button_on_a_leftover_notice_records_nothing_about_a_pressed_jar(three, caplog):
    three.ok("press B1 180ml --when 2025-07-21")
    before = three.written()

    with caplog.at_level("INFO", logger="stillroom"):
        record_press(three.bench("2025-07-22 09:00"), "shaken", ("B1",))

    assert "B1: already pressed on 21 Jul 2025" in caplog.text
    assert three.written() == before


def test_ready_is_not_said_twice_but_past_its_longest_time_is(three):
    said_at(three, "2025-07-04 08:00")
    said_at(three, "2025-07-20 08:00")

    next_day = said_at(three, "2025-07-21 08:00")

    assert next_day[1:] == ["  Citrus peel A1: 13 days past its longest: press it"]


def test_an_answer_to_a_leftover_notice_records_nothing_twice(three):
    three.ok("press B1 180ml --when 2025-07-21")

    assert "already pressed on 21 Jul 2025" in three.refused("press B1 180ml")
    assert "already pressed on 21 Jul 2025" in three.refused("shake B1 --when 2025-07-22")


def test_eight_in_the_morning_follows_the_clocks_of_the_place():
    """The offsets of Europe/Berlin before and after 30 March 2025: the tz database."""
    before = digest_instant(date(2025, 3, 29), time(8), BERLIN)
    after = digest_instant(date(2025, 3, 30), time(8), BERLIN)

    assert before == utc("2025-03-29 07:00")
    assert after == utc("2025-03-30 06:00")


@pytest.mark.parametrize(
    ("day", "instant"),
    [
        ("2025-03-30", "2025-03-30 01:30"),  # the clocks skip it: 03:30 by the new time
        ("2025-10-26", "2025-10-26 00:30"),  # they show it twice: the first
    ],
)
def test_half_past_two_comes_once_on_both_nights(day, instant):
    minute = utc(instant)
    early = minute.replace(minute=29).astimezone(BERLIN)
    told = Told(last_digest=date.fromisoformat(day))

    assert digest_instant(date.fromisoformat(day), time(2, 30), BERLIN) == minute
    assert not is_time(early, AT_HALF_PAST_TWO, Told())
    assert is_time(minute.astimezone(BERLIN), AT_HALF_PAST_TWO, Told())
    assert not is_time(minute.astimezone(BERLIN), AT_HALF_PAST_TWO, told)


def test_the_second_half_past_two_of_autumn_is_silent_once_the_first_was_told():
    second = utc("2025-10-26 01:30").astimezone(BERLIN)

    assert second.time() == time(2, 30)
    assert not is_time(second, AT_HALF_PAST_TWO, Told(last_digest=date(2025, 10, 26)))


def test_a_laptop_asleep_over_the_hour_tells_when_it_wakes(three):
    said = {clock: said_at(three, f"2025-07-04 {clock}") for clock in ("06:59", "13:20", "13:21")}

    assert said["06:59"] == []
    assert [line.split()[1] for line in said["13:20"][1:]] == ["C1:"]
    assert said["13:21"] == []


def test_a_laptop_asleep_into_the_night_tells_both_days_the_next_morning(three):
    """A1 became ready on the day that had no digest."""
    said_at(three, "2025-07-05 08:00")
    clocks = ("06 06:59", "06 21:40", "07 07:59", "07 08:00", "07 08:01")

    said = {clock: said_at(three, f"2025-07-{clock}") for clock in clocks}

    told = said.pop("07 08:00")
    assert told[1:] == [
        "  Cowherb C1: shake it, last shaken Thu",
        "  Citrus peel A1: ready to press since 6 Jul",
    ]
    assert list(said.values()) == [[]] * 4


def test_two_daemons_over_one_book_give_one_digest(three):
    one, other = (said_at(three, "2025-07-04 08:00") for _ in range(2))

    assert len(one) == 2
    assert other == []


def test_a_digest_that_nobody_took_is_told_at_the_next_heartbeat(three):
    gone = io.StringIO()
    gone.close()

    said_at(three, "2025-07-04 08:00", gone)
    again = said_at(three, "2025-07-04 08:01")

    assert [line.split()[1] for line in again[1:]] == ["C1:"]


def test_a_daemon_killed_between_telling_and_marking_repeats_once(three):
    """A folder stands where the marks would be written, so marking fails."""
    in_the_way = three.bench().state / MARKS
    in_the_way.mkdir(parents=True)
    first = said_at(three, "2025-07-04 08:00")
    in_the_way.rmdir()

    second, third = (said_at(three, f"2025-07-04 08:0{minute}") for minute in (1, 2))

    assert first == second != []
    assert third == []


def test_nothing_due_is_no_notice_at_all(three):
    """On 11 July, A1 apart, nothing is new once 10 July was told."""
    three.ok("press A1 180ml --when 2025-07-06")
    three.ok("shake C1 --when 2025-07-10")
    said_at(three, "2025-07-10 08:00")
    three.ok("shake C1 --when 2025-07-11")

    assert [line["what"] for line in three.asked("due --on 2025-07-11")] == ["ready"]
    assert said_at(three, "2025-07-11 08:00") == []


def test_remind_says_once_what_is_due_today(three):
    first = three.ok("remind --plain --printed")
    again = three.run("remind --plain --printed")

    assert "Citrus peel A1: " in first
    assert (again.code, again.out) == (0, "")
