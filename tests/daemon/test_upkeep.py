"""What the three systems are given, read back by readers that are not ours."""

import plistlib
import shlex
import shutil
import subprocess
import sys
from xml.etree import ElementTree

import pytest

from tests.command import STILLROOM
from tests.daemon.notification_server import dunst, private_bus, screen
from tests.daemon.running import ALWAYS, daemon
from tracker.daemon.service_files import launchd_agent, systemd_unit, windows_task

# A book's folder may be called anything.
ODD = ["/opt/still room/bin/stillroom", "--book", '/home/anna/50% "best" $HOME\\book', "daemon"]
TASK = "{http://schemas.microsoft.com/windows/2004/02/mit/task}"


def test_launchd_starts_exactly_these_words():
    agent = plistlib.loads(launchd_agent(ODD, "/tmp/log"))

    assert agent["ProgramArguments"] == ODD
    assert agent["RunAtLoad"] is True
    assert agent["KeepAlive"] == {"SuccessfulExit": False}


def test_windows_is_given_a_task_that_makes_up_for_a_missed_start():
    task = ElementTree.fromstring(windows_task(ODD))
    exec_ = task.find(f"{TASK}Actions/{TASK}Exec")

    assert task.findtext(f"{TASK}Settings/{TASK}StartWhenAvailable") == "true"
    assert exec_.findtext(f"{TASK}Command") == ODD[0]
    assert exec_.findtext(f"{TASK}Arguments") == subprocess.list2cmdline(ODD[1:])


@pytest.mark.skipif(
    shutil.which("systemd-analyze") is None, reason="NOT TESTED: no systemd-analyze here"
)
def test_systemd_finds_no_fault_in_the_unit(tmp_path, command):
    unit = tmp_path / "stillroom.service"
    unit.write_text(systemd_unit([str(STILLROOM), *ODD[1:]]))
    done = subprocess.run(
        ["systemd-analyze", "verify", "--user", "--man=no", str(unit)],
        capture_output=True,
        text=True,
        env=command.env | {"XDG_RUNTIME_DIR": str(tmp_path)},
    )

    assert (done.returncode, done.stdout + done.stderr) == (0, "")


@pytest.mark.skipif(
    shutil.which("systemd-analyze") is None, reason="NOT TESTED: no systemd-analyze here"
)
def test_systemd_does_find_fault_with_a_unit_that_starts_nothing(tmp_path, command):
    """So that the silence above means something."""
    unit = tmp_path / "stillroom.service"
    unit.write_text(systemd_unit(["/nowhere/stillroom"]))
    done = subprocess.run(
        ["systemd-analyze", "verify", "--user", "--man=no", str(unit)],
        capture_output=True,
        env=command.env | {"XDG_RUNTIME_DIR": str(tmp_path)},
    )

    assert done.returncode != 0


def given_systemctl(command, exit_code: int = 0):
    """A `systemctl` that writes down how it was called; the real one needs a session."""
    folder = command.home / "bin"
    folder.mkdir()
    program = folder / "systemctl"
    program.write_text(f'#!/bin/sh\necho "$@" >> {command.home}/calls\nexit {exit_code}\n')
    program.chmod(0o755)
    command.env["PATH"] = f"{folder}:{command.env['PATH']}"
    command.env["XDG_CONFIG_HOME"] = str(command.home / "config")
    return command.home / "calls"


needs_linux = pytest.mark.skipif(sys.platform != "linux", reason="NOT TESTED: not Linux")


@needs_linux
def test_install_names_the_running_stillroom_and_this_book_and_starts_it(command):
    calls = given_systemctl(command)
    command.practice(ALWAYS)
    out = command.ok("reminders on")
    (unit,) = (command.home / "config").rglob("*.service")
    (start,) = [one for one in unit.read_text().splitlines() if one.startswith("ExecStart=")]

    assert "Reminders are on, now and from every login: each day at " in out
    assert shlex.split(start.removeprefix("ExecStart=")) == [
        str(STILLROOM), "--book", str(command.book), "daemon",
    ]  # fmt: skip
    assert "--user enable stillroom.service" in calls.read_text()
    assert "set up, but they do not run now" in command.ok("reminders status")
    assert command.json("reminders")["kept_on"] is True

    other = command.home / "other"
    assert "another book" in command.ok(f"--book {other} reminders")

    command.ok("reminders off")
    assert not unit.exists()
    assert "--user disable --now stillroom.service" in calls.read_text()
    assert "Reminders    off; " in command.ok("reminders status")
    assert "They were not on." in command.run("reminders off").err


@needs_linux
def test_a_system_that_does_not_start_it_is_said_with_what_to_do(command):
    given_systemctl(command, exit_code=1)
    command.practice(ALWAYS)
    answer = command.run("reminders on")

    assert answer.code == 1
    assert "Reminders are set up, but not started" in answer.err
    assert "stillroom calendar --to FILE" in answer.err
    assert "systemctl --user enable stillroom.service" in answer.err


def test_status_says_whether_one_runs(command):
    command.practice(ALWAYS)
    before = command.ok("reminders status")
    with daemon(command) as running:
        running.beats(1)
        during = command.ok("reminders status")

    assert "Reminders    off; `stillroom reminders on`" in before
    assert "they run now, and end with what started them" in during
    assert "tomorrow at " in during or "today at " in during or "within a minute" in during


def test_a_test_notice_is_on_the_screen_or_says_that_no_desktop_took_it(command):
    command.practice(ALWAYS)
    with private_bus() as bus, screen() as display:
        command.env["DBUS_SESSION_BUS_ADDRESS"] = bus.address
        nobody = command.run("reminders test")
        with dunst(bus, display) as server:
            shown = command.run("reminders test")

            assert server.displayed == 1

    assert (nobody.code, shown.code) == (1, 0)
    assert "No channel took it" in nobody.err
    assert "What works without a desktop" in nobody.err


@needs_linux
def test_switched_on_without_a_desktop_it_says_what_works(command):
    given_systemctl(command)
    command.practice(ALWAYS)
    command.env["DBUS_SESSION_BUS_ADDRESS"] = "unix:path=/nowhere"
    out = command.ok("reminders on")

    assert "No desktop takes messages here: " in out
    assert "stillroom calendar --to FILE" in out


def test_status_says_when_the_last_digest_arrived_and_what_went_wrong_before(command):
    command.practice(ALWAYS)
    command.ok(
        'charge "citrus" --dried 50g --pour "250 ml 45%" --least 5d --longest 7d --shake none '
        "--code A1 --when 2025-07-01"
    )
    with private_bus() as bus, screen() as display:
        command.env["DBUS_SESSION_BUS_ADDRESS"] = bus.address
        before = command.ok("reminders")
        assert command.run("remind").code == 1
        failed = command.ok("reminders")
        with dunst(bus, display):
            command.ok("remind")
            arrived = command.ok("reminders status")

    assert "Last told    never, as far as this machine knows" in before
    assert "Went wrong" not in before
    assert "Went wrong   today at " in failed
    assert "Last told    today at " in arrived
    assert "1 reminder through the desktop" in " ".join(arrived.split())
    assert "since then one has arrived" in " ".join(arrived.split())
    fields = command.json("reminders")
    assert fields["delivered"]["channel"] == "desktop-bus"
    assert fields["failed"]["why"]


def test_a_word_that_means_nothing_is_refused(command):
    command.practice(ALWAYS)

    assert "on, off, status or test" in command.refused("reminders stop", code=2)
