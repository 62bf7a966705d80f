"""The service that keeps the reminders on: written for the system, started now and at login."""

import os
import shutil
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import platformdirs
import typer

from tracker.bench.bench import Bench
from tracker.bench.own_folders import APP
from tracker.core.values.errors import BookError, TrackerError
from tracker.core.values.text import shown
from tracker.daemon import service_files
from tracker.daemon.own_command import stillroom_command
from tracker.journal.regular_file import read_regular
from tracker.journal.whole_file import SHARED, write_whole

UNIT = f"{APP}.service"
_MOST_BYTES = 100_000

# What reminds without a service of the system's.
OTHER_WAYS = (
    "`stillroom daemon` in a terminal, `stillroom remind` from a timer of your own, or "
    "`stillroom calendar --to FILE` for the calendar of your phone"
)


def can_be_kept_on() -> bool:
    """Whether this system has what starts a service at login."""
    program = {"darwin": "launchctl", "win32": "schtasks"}.get(sys.platform, "systemctl")
    return shutil.which(program) is not None


def is_kept_on(bench: Bench) -> bool | None:
    """Whether the system starts the reminders of this book; None: of another one."""
    file, text, *_ = _upkeep(bench)
    try:
        return True if read_regular(file, _MOST_BYTES, through_link=True) == text else None
    except OSError:
        return False


def keep_on(bench: Bench) -> None:
    """Write what the system wants to read, and have it start the daemon now and at login.

    Raises:
        TrackerError: it cannot be written, or the system does not start it.
    """
    bench.check_is_book()
    file, text, start, _ = _upkeep(bench)
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        write_whole(file, text, mode=SHARED)
    except OSError as reason:
        raise BookError(
            f"The system could not be asked: {reason.strerror}.",
            where=str(file),
            do=f"make sure that you may write in that folder. Else: {OTHER_WAYS}.",
        ) from reason
    if failed := _told(start):
        by_hand = " && ".join(" ".join(one) for one in start)
        raise TrackerError(
            f"Reminders are set up, but not started: {failed}.",
            where=str(file),
            do=f"start them by hand: {by_hand}. Else: {OTHER_WAYS}.",
        )


def let_go(bench: Bench) -> bool:
    """Stop it and take away what `keep_on` wrote; whether there was anything."""
    file, _, _, end = _upkeep(bench)
    if not file.exists():
        return False
    if failed := _told(end):
        typer.echo(shown(f"The system did not stop it: {failed}."), err=True)
    file.unlink(missing_ok=True)
    if sys.platform == "linux":
        _told([["systemctl", "--user", "daemon-reload"]])
    return True


def _upkeep(bench: Bench) -> tuple[Path, bytes, list[list[str]], list[list[str]]]:
    """The file this system reads, its contents, and how it is started and stopped."""
    command = [*stillroom_command(), "--book", str(bench.book.resolve()), "daemon"]
    if sys.platform == "darwin":
        log = Path(platformdirs.user_log_dir(APP, appauthor=False)) / "daemon.log"
        file = Path.home() / "Library" / "LaunchAgents" / f"{service_files.LABEL}.plist"
        domain = f"gui/{os.getuid()}"
        return (
            file,
            service_files.launchd_agent(command, str(log)),
            [["launchctl", "bootstrap", domain, str(file)]],
            [["launchctl", "bootout", f"{domain}/{service_files.LABEL}"]],
        )
    if sys.platform == "win32":
        file = Path(platformdirs.user_config_dir(APP, appauthor=False)) / "reminders.xml"
        name = ["/TN", "Stillroom reminders"]
        return (
            file,
            service_files.windows_task(command),
            [
                ["schtasks", "/Create", "/F", *name, "/XML", str(file)],
                ["schtasks", "/Run", *name],
            ],
            [["schtasks", "/End", *name], ["schtasks", "/Delete", "/F", *name]],
        )
    home = Path(os.environ.get("XDG_CONFIG_HOME") or Path.home() / ".config")
    return (
        home / "systemd" / "user" / UNIT,
        service_files.systemd_unit(command).encode(),
        [
            ["systemctl", "--user", "daemon-reload"],
            ["systemctl", "--user", "enable", UNIT],
            ["systemctl", "--user", "restart", UNIT],
        ],
        [["systemctl", "--user", "disable", "--now", UNIT]],
    )


def _told(commands: Sequence[Sequence[str]]) -> str | None:
    """Give the system these commands; why it did not take one, or None."""
    for command in commands:
        if shutil.which(command[0]) is None:
            return f"{command[0]} is not installed"
        try:
            done = subprocess.run(
                command,
                capture_output=True,
                text=True,
                errors="replace",
                timeout=30,
                check=False,
            )
        except (OSError, subprocess.TimeoutExpired) as reason:
            return str(reason)
        if done.returncode:
            return " ".join((done.stderr or done.stdout).split()) or f"{command[0]} failed"
    return None
