"""Buttons on the digest, pressed on a real server: what is pressed stands in the book."""

import subprocess
from pathlib import Path

import pytest

from tests.command import Command
from tests.daemon.notification_server import dunst, private_bus, screen
from tests.daemon.running import ALWAYS, daemon

pytestmark = pytest.mark.thorough

HERB = '--dried 50g --pour "250 ml 45%"'
STORY = (
    f'charge "citrus" --part peel {HERB} --least 5d --longest 7d --shake none --code A1 '
    "--when 2025-07-01",
    f'charge "cowherb" {HERB} --least 3650d --shake "daily" --code C1 --when 2025-07-01',
    f'charge "cowherb" {HERB} --least 3650d --shake "daily" --code D1 --when 2025-07-01',
)


def pressing(key: str) -> str:
    """A rule by which `dunstctl action 0` presses that button among several."""
    return f'[pressed]\nappname = Stillroom\naction_name = "{key}"\n'


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
def shelf(command) -> Command:
    command.practice(ALWAYS)
    for line in STORY:
        command.ok(line)
    return command


def kinds(command: Command) -> list[str]:
    return [line["type"] for line in command.lines()]


def test_shaken_pressed_on_the_notice_is_in_the_book_for_every_jar_it_named(shelf, bus, display):
    with dunst(bus, display, pressing("shaken")) as server, daemon(shelf) as running:
        running.until("told 3 lines through desktop-bus")
        server.run("dunstctl", "action", "0")
        running.until("a press recorded: C1 D1 shaken")

    (event,) = [line for line in shelf.lines() if line["type"] == "shaken"]
    assert event["subject"] == "C1 D1"
    assert event["data"]["note"] == "answered on the notice"
    assert {one["code"] for one in shelf.asked("due")} == {"A1"}


def test_what_was_done_before_the_press_is_not_done_twice(shelf, bus, display):
    with dunst(bus, display, pressing("shaken")) as server, daemon(shelf) as running:
        running.until("told 3 lines")
        shelf.ok("press C1 180ml")
        shelf.ok("shake D1")
        before = shelf.written()
        server.run("dunstctl", "action", "0")
        running.until("C1: already pressed on ")
        running.until("D1: already shaken on ")
        running.until("pressed shaken: nothing left to record")

        assert shelf.written() == before


def test_tomorrow_pressed_on_the_notice_puts_every_line_off_a_day(shelf, bus, display):
    with dunst(bus, display, pressing("later")) as server, daemon(shelf) as running:
        running.until("told 3 lines")
        server.run("dunstctl", "action", "0")
        for code in ("A1", "C1", "D1"):
            running.until(f"a press recorded: {code} reminder put off")

    assert kinds(shelf)[3:] == ["later"] * 4  # A1 is past its longest time, and ready
    assert shelf.asked("due") == []


def test_closing_the_notice_records_nothing_and_the_daemon_still_ends_cleanly(shelf, bus, display):
    with dunst(bus, display, pressing("shaken")) as server, daemon(shelf) as running:
        running.until("told 3 lines")
        server.run("dunstctl", "close-all")
        running.beats(3)
        code = running.stop()

    assert code == 0
    assert kinds(shelf) == ["charged"] * 3


def test_a_daemon_that_is_waiting_for_a_press_ends_at_once(shelf, bus, display):
    with dunst(bus, display), daemon(shelf) as running:
        running.until("told 3 lines")
        running.beats(1)

        assert running.stop() == 0


def colours_on(display: str, shot: Path) -> int:
    """How many there are on the screen; one where nothing has been drawn."""
    for command in (
        ["import", "-display", display, "-window", "root", str(shot)],
        ["identify", "-format", "%k", str(shot)],
    ):
        done = subprocess.run(command, check=True, capture_output=True, text=True, timeout=60)
    return int(done.stdout)


def test_the_digest_is_drawn_on_the_screen(shelf, bus, display, tmp_path):
    """A picture for a person to look at; here only that something is on it.

    The server answers before it draws, so a busy machine may need a second look.
    """
    shot = tmp_path / "digest.png"
    with dunst(bus, display), daemon(shelf) as running:
        running.until("told 3 lines")
        looks = (colours_on(display, shot) for _ in range(20))

        assert any(colours > 2 for colours in looks)
