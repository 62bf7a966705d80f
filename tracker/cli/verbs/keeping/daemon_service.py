"""`daemon install`, `uninstall`, `status` and `test`: the system keeps the reminders on."""

import os
import shutil
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import platformdirs
import typer

from tracker.bench.bench import Bench
from tracker.bench.book_lock import is_held
from tracker.bench.own_folders import APP
from tracker.cli.desk import Desk
from tracker.core.values.errors import BookError, TrackerError
from tracker.daemon import service_files
from tracker.daemon.clock_doubt import clock_doubt
from tracker.daemon.deliver import MARKS
from tracker.daemon.notify import (
    Chain,
    NotDelivered,
    Notice,
    Terminal,
    desktop_channels,
    in_order,
)
from tracker.daemon.own_command import stillroom_command
from tracker.daemon.ticker import locks
from tracker.daemon.told import read_told
from tracker.journal.whole_file import SHARED, write_whole

UNIT = f"{APP}.service"


def install(desk: Desk) -> None:
    """Write what the system wants to read, and have it start the daemon now and at login."""
    bench = desk.bench
    bench.check_is_book()
    file, text, begin, _ = _upkeep(bench)
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        write_whole(file, text, mode=SHARED)
    except OSError as reason:
        raise BookError(
            f"The system could not be asked: {reason.strerror}.",
            where=str(file),
            do="make sure that you may write in that folder.",
        ) from reason
    typer.echo(f"Wrote {file}.")
    if failed := _told(begin):
        raise TrackerError(
            f"It is written, but not started: {failed}.",
            where=str(file),
            do=f"start it by hand: {' && '.join(' '.join(one) for one in begin)}",
        )
    typer.echo(f"Reminders are on, now and from every login, about {bench.book.resolve()}.")


def uninstall(desk: Desk) -> None:
    """Stop it and take away what `install` wrote."""
    file, _, _, end = _upkeep(desk.bench)
    if not file.exists():
        typer.echo("Nothing was installed.", err=True)
        return
    if failed := _told(end):
        typer.echo(f"The system did not stop it: {failed}.", err=True)
    file.unlink(missing_ok=True)
    if sys.platform == "linux":
        _told([["systemctl", "--user", "daemon-reload"]])
    typer.echo(f"Removed {file}.")


def status(desk: Desk) -> None:
    """Whether it is installed and running, and when it last reported."""
    bench = desk.bench
    file, *_ = _upkeep(bench)
    runs = any(is_held(folder, beside=beside) for folder, beside in locks(bench))
    told = read_told(bench.state / MARKS)
    hour = f"{bench.practice.digest_at:%H:%M}"
    typer.echo(f"installed    {file if file.exists() else 'no; `stillroom daemon install`'}")
    typer.echo(f"running      {'yes' if runs else 'no'}")
    typer.echo(f"last digest  {told.last_digest or 'none yet'}; the hour is {hour}")
    if doubt := clock_doubt(told, bench.today()):
        typer.echo(f"clock        {doubt}")


def test(desk: Desk) -> None:
    """Say something through the channel that reminders would take."""
    terminal = Terminal(sys.stdout, is_read=True)
    notice = Notice(
        "Stillroom: a test", f"Reminders about {desk.bench.book} arrive this way.", key="test"
    )
    try:
        channel = Chain(
            [*in_order(desk.bench.practice.channels, desktop_channels()), terminal]
        ).deliver(notice)
    except NotDelivered as reason:
        raise TrackerError(
            f"No reminder could be delivered: {reason}.",
            where="the desktop and the terminal",
            do="see that a notification server runs in this session.",
        ) from reason
    if channel == terminal.name:
        typer.echo("No channel took it, so only a terminal would show it.", err=True)
        raise typer.Exit(1)
    typer.echo(f"The {channel} took it: look at your screen.", err=True)


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
