"""The daemon through the installed command, against a real notification server."""

import re
from itertools import pairwise

import pytest

from tests.command import Command
from tests.daemon.notification_server import dunst, private_bus, screen
from tests.daemon.running import (
    ALWAYS,
    AT_EIGHT,
    WallClock,
    cpu_s,
    daemon,
    resident_mib,
)
from tests.faults.injecting import strace
from tracker.daemon.deliver import MARKS

pytestmark = pytest.mark.thorough

HERB = '--dried 50g --pour "250 ml 45%"'
PAST_LONGEST = (
    f'charge "citrus" --part peel {HERB} --least 5d --longest 7d --shake none --code A1 '
    "--when 2025-07-01"
)
PRESS_IT = r"Citrus peel A1: \d+ days past its longest: press it"


@pytest.fixture(scope="module")
def display():
    with screen() as name:
        yield name


@pytest.fixture
def bus(command):
    with private_bus() as bus:
        command.env |= {"DBUS_SESSION_BUS_ADDRESS": bus.address}
        command.env.pop("XDG_RUNTIME_DIR", None)
        yield bus


@pytest.fixture
def server(bus, display):
    with dunst(bus, display) as server:
        yield server


@pytest.fixture
def overdue(command) -> Command:
    """A jar past its longest time, and a practice by which it is always time."""
    command.practice(ALWAYS)
    command.ok(PAST_LONGEST)
    return command


def marks_file(command: Command):
    """Where the delivery marks are kept; its folder is there."""
    folder = command.bench().state
    folder.mkdir(parents=True, exist_ok=True)
    return folder / MARKS


def test_the_digest_is_on_the_screen_once_and_stays_said(overdue, server):
    with daemon(overdue) as running:
        running.until("told 1 lines through desktop-bus")
        running.beats(4)

        assert server.displayed == 1
        (shown,) = server.close_and_list()
        assert shown["summary"] == "Stillroom · 1 to look at"
        assert re.fullmatch(PRESS_IT, str(shown["body"]))
        assert len(running.told()) == 1


def test_a_second_daemon_is_refused_and_the_first_goes_on(overdue, server):
    with daemon(overdue) as running:
        running.until("told 1 lines")
        second = overdue.refused("daemon")
        running.beats(2)

        assert "A daemon already reminds about this book" in second
        assert "one is enough" in second
        assert server.displayed == 1


def test_a_signal_ends_it_cleanly_and_a_restart_says_nothing_again(overdue, server):
    with daemon(overdue) as running:
        running.until("told 1 lines")
        code = running.stop()
    with daemon(overdue) as again:
        again.beats(3)

        assert code == 0
        assert again.told() == []
        assert server.displayed == 1


def test_killed_between_showing_and_marking_it_repeats_once_and_loses_nothing(overdue, server):
    """As it puts the marks in their place: the first file it does that with after telling."""
    marks = marks_file(overdue)
    for step in range(1, 5):
        with daemon(overdue, under=strace(f"rename:signal=SIGKILL:when={step}")) as first:
            assert first.ended() != 0
        if server.displayed:
            break
    assert server.displayed == 1
    assert not marks.exists()
    with daemon(overdue) as second:
        second.until("told 1 lines")
        second.beats(2)
    with daemon(overdue) as third:
        third.beats(2)

        assert third.told() == []
        assert len(server.close_and_list()) == 2


def test_marks_that_cannot_be_written_cost_one_repeat_at_the_next_start(overdue, server):
    in_the_way = marks_file(overdue)
    in_the_way.mkdir()
    with daemon(overdue) as running:
        line = running.until("told, but not marked")
        running.beats(4)

        assert "directory" in line
        assert server.displayed == 1
    in_the_way.rmdir()
    with daemon(overdue) as again:
        again.until("told 1 lines")
        again.beats(2)

        assert len(server.close_and_list()) == 2


def test_while_nobody_can_be_told_the_next_command_says_it_first_and_the_bus_later(
    overdue, bus, display
):
    bus.die()
    with daemon(overdue) as running:
        running.until("the reminder could not be delivered")
        first, second = overdue.run("due"), overdue.run("due")
        bus.come_back()
        with dunst(bus, display) as server:
            running.until("told 1 lines")  # by either desktop channel: both come back with it
            running.beats(2)

            assert server.displayed == 1

    untold, *rest = first.err.splitlines()
    assert re.fullmatch(rf"Not delivered on \d+ \w+ \d{{4}}: {PRESS_IT}\.", untold)
    assert rest == second.err.splitlines() == []
    assert first.out == second.out != ""
    complaints = [line.split(maxsplit=2)[2] for line in running.log if "not be delivered" in line]
    assert complaints
    assert all(one != other for one, other in pairwise(complaints))


def test_what_was_told_after_all_is_not_said_again_by_a_command(overdue, bus, display):
    bus.die()
    with daemon(overdue) as running:
        running.until("the reminder could not be delivered")
        bus.come_back()
        with dunst(bus, display):
            running.until("told 1 lines")

    assert overdue.run("due").err == ""


def test_new_jars_and_another_hour_are_picked_up_while_it_runs(command, server):
    command.practice('zone = "Europe/Berlin"\n[reminders]\ndigest = "23:59:59"\n')
    with daemon(command) as running:
        running.beats(1)
        command.ok(PAST_LONGEST)
        running.beats(2)
        command.practice(ALWAYS)
        running.until("told 1 lines through desktop-bus")

        assert re.fullmatch(PRESS_IT, str(server.close_and_list()[0]["body"]))


def test_a_practice_that_means_nothing_is_complained_of_once_and_mended_in_place(overdue, server):
    overdue.practice("digest = \n")
    refused = overdue.run("daemon")
    overdue.practice('zone = "Europe/Berlin"\n[reminders]\ndigest = "23:59:59"\n')
    with daemon(overdue) as running:
        running.beats(1)
        overdue.practice("digest = \n")
        running.until("no digest: practice.toml has a slip in how it is written")
        overdue.practice(ALWAYS)
        running.until("told 1 lines")

        complaints = [line for line in running.log if "no digest" in line]
        assert len(complaints) == 1
        assert "Invalid value (at line 1, column 10)" in complaints[0]
    assert refused.code == 2


@pytest.fixture
def clock(command):
    """Three summer days at the digest hour of eight."""
    command.practice(AT_EIGHT)
    command.ok(PAST_LONGEST)
    clock = WallClock(command)
    clock.set("2025-07-10 07:00")
    return clock


def test_asleep_over_the_hour_it_tells_within_a_heartbeat_of_waking_once(command, clock, server):
    with daemon(command) as running:
        running.beats(2)
        with running.asleep():
            clock.set("2025-07-10 13:20")
        running.until("told 1 lines through desktop-bus")
        beats = sum("not time at 2025-07-10 13" in line for line in running.log)
        running.beats(3)

        assert beats <= 1
        assert server.displayed == 1


def test_asleep_into_the_night_it_tells_the_next_morning_once(command, clock, server):
    with daemon(command) as running:
        running.beats(1)
        with running.asleep():
            clock.set("2025-07-10 21:40")
        running.beats(3)
        assert server.displayed == 0
        clock.set("2025-07-11 08:00")
        running.until("told 1 lines")
        running.beats(2)

        assert server.displayed == 1


@pytest.mark.parametrize("jump", ["2025-07-10 09:00", "2025-07-10 07:00"])
def test_a_clock_that_jumps_an_hour_neither_repeats_nor_loses_a_digest(
    command, clock, server, jump
):
    clock.set("2025-07-10 07:59")
    with daemon(command) as running:
        running.beats(2)
        clock.set("2025-07-10 08:00")
        running.until("told 1 lines")
        clock.set(jump)
        running.beats(3)
        assert server.displayed == 1

        clock.set("2025-07-11 08:59")
        running.until("told 1 lines")
        running.beats(2)

    assert len(running.told()) == 2


def test_a_clock_that_jumps_forward_over_the_hour_tells_at_the_next_heartbeat(
    command, clock, server
):
    clock.set("2025-07-10 07:30")
    with daemon(command) as running:
        running.beats(2)
        clock.set("2025-07-10 08:30")
        running.until("told 1 lines")
        beats = sum("not time at 2025-07-10 08" in line for line in running.log)

        assert beats <= 1


def test_a_book_that_grows_over_night_is_in_the_next_digest(command, clock, server):
    with daemon(command) as running:
        clock.set("2025-07-10 08:00")
        running.until("told 1 lines")
        command.ok(f'charge "cowherb" {HERB} --shake "daily" --code C1 --when 2025-07-09')
        clock.set("2025-07-11 08:00")
        running.until("told 2 lines")

        assert server.close_and_list()[0]["body"] == (
            "Citrus peel A1: 3 days past its longest: press it\n"
            "Cowherb C1: shake it, not shaken yet"
        )


def test_it_idles_on_a_thousandth_of_a_processor_and_in_80_mib(overdue, server):
    """The issue's limits. At one heartbeat in 30 s a tick may use 30 ms of processor time."""
    with daemon(overdue) as running:
        running.until("told 1 lines")
        running.beats(5)
        before = cpu_s(running.process)
        running.beats(40)
        per_tick_s = (cpu_s(running.process) - before) / 40

        assert per_tick_s < 0.030
        assert resident_mib(running.process) < 80
