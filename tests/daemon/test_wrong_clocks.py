"""Clocks that were set wrongly, on the machine and in the book: nothing is silenced by them."""

import io
import os
from datetime import date, timedelta
from time import sleep

import pytest

from tests.command import Command
from tests.daemon.running import HEARTBEAT_S, WallClock, daemon, resident_mib
from tests.journal.on_disk import write
from tests.lives import OneJar, at, on
from tracker.core.facts.amendments import Corrected
from tracker.core.facts.jars import Shaken
from tracker.daemon.deliver import MARKS
from tracker.daemon.notify import Chain, Terminal
from tracker.daemon.ticker import DaemonMemory, tick
from tracker.daemon.told import MOST_BYTES, read_told

LID = (
    'charge "citrus" --dried 50g --pour "250 ml 45%" --lid metal --code LID --when 2025-03-03 '
    "--sure"
)


@pytest.fixture
def lid(tmp_path) -> Command:
    """A jar with a bare metal lid, due every day, and nothing told yet."""
    command = Command(tmp_path).practice('zone = "Europe/Berlin"\n')
    command.ok(LID)
    return command


def said_at(command: Command, local: str, kept: DaemonMemory | None = None) -> list[str]:
    """What a heartbeat prints at that local time."""
    stream = io.StringIO()
    tick(command.bench(local), Chain([Terminal(stream, is_read=True)]), kept)
    return stream.getvalue().splitlines()


@pytest.mark.parametrize(
    "wrong", ["2030-01-01", "2038-01-19", "2106-02-07", "2199-12-31", "9999-12-31"]
)
@pytest.mark.parametrize("stays_up", [True, False], ids=["one process", "a process each"])
def test_a_digest_under_a_wrong_clock_silences_no_day_after_it(lid, wrong, stays_up):
    kept = DaemonMemory() if stays_up else None
    said_at(lid, f"{wrong} 09:00", kept)
    digests = [
        len(said_at(lid, f"2025-03-{day} {hour}:00", kept))
        for day in (10, 11, 12)
        for hour in ("09", "10")
    ]

    assert digests == [2, 0, 2, 0, 2, 0]


def test_a_clock_in_1970_takes_nothing_from_the_day_before_or_after(lid):
    kept = DaemonMemory()
    before = said_at(lid, "2025-03-10 09:00", kept)
    in_1970 = said_at(lid, "1970-01-01 09:00", kept)
    same_day = said_at(lid, "2025-03-10 12:00", kept)
    after = said_at(lid, "2025-03-11 09:00", kept)

    assert before[1].startswith("  Citrus LID: ")
    assert in_1970[1].startswith("  LID: charged on 3 Mar 2025, still to come")
    assert same_day == []
    # Told before, so that it is no longer pressing; nothing else is another than it was.
    assert before[0] == f"! {after[0]}"
    assert after[1:] == before[1:]


def test_what_was_said_once_under_a_wrong_clock_is_said_when_its_day_has_come(tmp_path):
    command = Command(tmp_path).practice('zone = "Europe/Berlin"\n')
    write(command.book, OneJar.charged("2025-03-03", least="P28D", shake=()).entries)
    said_at(command, "2025-03-10 09:00")
    ahead = said_at(command, "2026-06-01 09:00")
    before = said_at(command, "2025-03-30 09:00")
    on_the_day = said_at(command, "2025-03-31 09:00")
    again = said_at(command, "2025-04-01 09:00")

    assert "ready" in ahead[1]
    assert before == again == []
    assert "ready" in on_the_day[1]


def test_a_mark_ahead_is_named_once_in_the_log_and_in_the_status(lid, caplog):
    kept = DaemonMemory()
    said_at(lid, "2090-01-01 09:00", kept)
    for day in (10, 11, 12):
        said_at(lid, f"2025-03-{day} 09:00", kept)

    assert sum("noted as sent on 1 Jan 2090" in line for line in caplog.messages) == 1
    assert "noted as sent on 1 Jan 2090" in lid.ok("reminders status")
    assert "noted as sent on 1 Jan 2090" in lid.ok("check")


@pytest.mark.parametrize(
    "contents",
    [
        b"\xff\x00\xfe",
        b"",
        b"[" * 100_000,
        b" " * (MOST_BYTES + 1),
        b'{"last_digest": 7, "said": {}}',
        b'{"last_digest": "2025-03-10", "said": []}',
        b'{"last_digest": "2025-03-10", "said": {}, "digests": 7}',
        b'{"last_digest": "2025-03-10", "said": {}, "digests": ["x"]}',
        "folder",
        "pipe",
        "link to itself",
    ],
)
def test_marks_that_mean_nothing_count_as_none_and_the_digest_comes(lid, contents):
    file = lid.bench().state / MARKS
    file.parent.mkdir(parents=True, exist_ok=True)
    match contents:
        case bytes():
            file.write_bytes(contents)
        case "folder":
            file.mkdir()
        case "pipe":
            os.mkfifo(file)
        case _:
            file.symlink_to(file)
    kept = DaemonMemory()
    first, again = (said_at(lid, f"2025-03-10 {hour}:00", kept) for hour in ("09", "10"))

    assert len(first) == 2
    assert again == []
    if contents != "folder":
        assert read_told(file).last_digest == date(2025, 3, 10)


# Events that a wrong clock dated ahead


@pytest.fixture
def shaken_ahead(tmp_path) -> tuple[Command, OneJar]:
    """A jar whose last shake was dated 2090, and one that is untouched by it."""
    command = Command(tmp_path).practice('zone = "Europe/Berlin"\n')
    one = OneJar.charged("2025-03-03")
    one.then(Shaken(jars=(one.jar.jar,)), "2025-03-05")
    one.then(Shaken(jars=(one.jar.jar,)), at("2090-01-01T09:00:00+01:00"))
    write(command.book, one.entries)
    return command, one


def test_a_shake_dated_ahead_is_named_and_silences_no_shake(shaken_ahead):
    command, _ = shaken_ahead
    said = said_at(command, "2025-03-08 09:00")
    tomorrow = said_at(command, "2025-03-09 09:00")

    assert said[1] == "  Marigold flower CAOF-25-01: dated ahead (1 Jan 2090); last shaken Wed"
    assert tomorrow[1:] == said[1:]


def test_due_says_it_too_until_it_was_corrected_as_it_says(shaken_ahead):
    command, _ = shaken_ahead
    before = command.asked("due")
    command.ok("correct 3 --set when=2025-03-08 --why clock")
    after = command.asked("due")

    assert "which is still to come" in before[0]["why"]
    assert "still to come" not in str(after)
    assert said_at(command, "2025-03-08 09:00") == []


def test_a_shake_of_tomorrow_in_another_zone_counts(tmp_path):
    command = Command(tmp_path).practice('zone = "Europe/Berlin"\n')
    one = OneJar.charged("2025-03-03")
    one.then(Shaken(jars=(one.jar.jar,)), on("2025-03-09"))
    write(command.book, one.entries)

    assert said_at(command, "2025-03-08 09:00") == []


def test_a_pressing_and_a_charge_dated_ahead_are_named(tmp_path):
    command = Command(tmp_path).practice('zone = "Europe/Berlin"\n')
    one = OneJar.charged("2025-03-03", longest="P2M")
    one.press("2090-01-01")
    write(command.book, one.entries)
    named = said_at(command, "2025-05-10 09:00")[1]

    assert named.endswith(": dated ahead (1 Jan 2090); past its longest")


def test_a_clock_far_behind_the_book_is_one_line_and_not_one_for_each_event(tmp_path):
    command = Command(tmp_path).practice('zone = "Europe/Berlin"\n')
    one = OneJar.charged("2025-03-03")
    for day in range(30):
        one.then(Shaken(jars=(one.jar.jar,)), on(date(2025, 3, 4) + timedelta(days=day)))
    write(command.book, one.entries)
    said = said_at(command, "1970-01-01 09:00")

    assert said[1:] == [
        "  Book: most of it is dated after 1 Jan 1970, up to 2 Apr 2025: set the clock"
    ]


def test_a_correction_of_the_day_to_one_ahead_is_named_by_the_event(tmp_path):
    command = Command(tmp_path).practice('zone = "Europe/Berlin"\n')
    one = OneJar.charged("2025-03-03")
    shake = one.then(Shaken(jars=(one.jar.jar,)), "2025-03-05")
    set_ = {"time": "2091-05-05T00:00:00+02:00"}
    one.then(Corrected(event=shake.id, jars=(one.jar.jar,), set=set_, why="slip"), "2025-03-06")
    write(command.book, one.entries)

    assert "dated ahead (5 May 2091)" in said_at(command, "2025-03-08 09:00")[1]


# A clock that no machine has


@pytest.mark.parametrize(
    ("there", "words"), [("1969-12-31 09:00", "before the year 1970"), ("9999-12-30 09:00", "2262")]
)
def test_nothing_is_recorded_by_a_clock_that_can_date_nothing(lid, there, words):
    WallClock(lid).set(there)
    message = lid.refused("shake LID --when 2025-03-04 --sure")

    assert words in message
    assert "set it" in message


@pytest.mark.parametrize("line", ["due", "check", "remind --printed", "reminders status"])
def test_a_clock_that_python_cannot_read_is_an_error_that_says_so(lid, line):
    WallClock(lid).set("9999-12-30 09:00")

    assert "beyond the year 2262" in lid.refused(line)


# The scheduler


@pytest.mark.thorough
def test_a_clock_that_cannot_be_read_for_a_while_costs_no_digest_and_no_line_of_the_log(lid):
    clock = WallClock(lid)
    clock.set("2025-03-10 07:00")
    with daemon(lid) as running:
        running.beats(1)
        clock.set("9999-12-30 09:00")
        sleep(20 * HEARTBEAT_S)
        clock.set("2025-03-10 07:10")
        running.until("not time at 2025-03-10 07:10")

        assert [line for line in running.log if "Error" in line or "Traceback" in line] == []


@pytest.mark.thorough
def test_a_clock_that_jumps_over_a_century_costs_one_beat(lid):
    """From 1970 to 2106 and back: an interval of 0.3 s would miss 14 thousand million beats."""
    clock = WallClock(lid)
    clock.set("1970-01-02 07:00")
    with daemon(lid) as running:
        running.beats(2)
        usual = resident_mib(running.process)
        for there in ("2025-03-10 07:00", "2106-02-07 03:00", "1970-01-02 03:00"):
            clock.set(there)
            running.until(f"not time at {there[:10]}")
            running.beats(2)

        assert resident_mib(running.process) - usual < 20
        assert running.stop() == 0
