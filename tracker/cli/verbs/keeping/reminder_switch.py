"""`reminders`: on, off, whether they run and reach anybody, and one message to try it."""

import sys
from typing import Annotated

import typer

from tracker.bench.bench import Bench
from tracker.bench.book_lock import is_held
from tracker.cli.desk import AsJson, Desk
from tracker.cli.printing import echo_json
from tracker.cli.verbs.keeping import login_service
from tracker.core.rules.morning import is_time
from tracker.core.values.errors import MisusedError, TrackerError
from tracker.core.values.text import shown
from tracker.daemon.clock_doubt import clock_doubt
from tracker.daemon.deliveries import Deliveries, read_deliveries
from tracker.daemon.notify import (
    Chain,
    DesktopBus,
    NotDelivered,
    Notice,
    Terminal,
    desktop_channels,
    in_order,
)
from tracker.daemon.ticker import locks
from tracker.daemon.told import MARKS, read_told
from tracker.outputs.terminal.named_rows import named_rows
from tracker.outputs.words.past_moments import moment_said

app = typer.Typer(rich_markup_mode=None)

Switch = Annotated[
    str | None, typer.Argument(metavar="on|off|status|test", help="status, where none is given.")
]

_DESKTOP = ("desktop-bus", "plyer")


@app.command()
def reminders(context: typer.Context, word: Switch = None, as_json: AsJson = False) -> None:
    """Reminders on or off, how they stand, or a test."""
    desk = Desk(context.obj, as_json=as_json)
    words = {"on": _on, "off": _off, "status": _status, "test": _test}
    act = words.get(word or "status")
    if act is None:
        raise MisusedError(
            f"{word!r} is nothing that reminders do.",
            where="the command line",
            do="write on, off, status or test.",
        )
    act(desk)


def switch_on(bench: Bench) -> list[str]:
    """Have the system keep them on; what there is to say, and what works where no desktop does.

    Raises:
        TrackerError: the system does not.
    """
    login_service.keep_on(bench)
    hour = f"{bench.practice.digest_at:%H:%M}"
    lines = [f"Reminders are on, now and from every login: each day at {hour}, if anything is due."]
    if (why := _no_desktop(bench)) is not None:
        lines += [
            f"No desktop takes messages here: {why}.",
            "What is due is printed by the next command instead. To be told elsewhere:",
            "  mail or phone      [channels] in practice.toml, see docs/reminders.md",
            "  a timer of yours   stillroom remind",
            "  your calendar      stillroom calendar --to FILE",
        ]
    return lines


def _no_desktop(bench: Bench) -> str | None:
    """Why no desktop would take a message; None where one does or none is asked."""
    if "desktop" not in bench.practice.channels:
        return None
    buses = [one for one in desktop_channels() if isinstance(one, DesktopBus)]
    return buses[0].fault() if buses else None


def _on(desk: Desk) -> None:
    lines = switch_on(desk.bench)
    if desk.as_json:
        echo_json(_fields(desk.bench))
        return
    for line in lines:
        typer.echo(shown(line))


def _off(desk: Desk) -> None:
    was_on = login_service.let_go(desk.bench)
    if desk.as_json:
        echo_json(_fields(desk.bench))
    elif was_on:
        typer.echo("Reminders are off, now and at every login.")
    else:
        typer.echo("They were not on.", err=True)


def _status(desk: Desk) -> None:
    bench = desk.bench
    if desk.as_json:
        echo_json(_fields(bench))
        return
    last = read_deliveries(bench.state)
    rows = [("Reminders", _state(bench)), ("Next", _next(bench)), ("Last told", _last(bench, last))]
    if (failed := last.failed) is not None:
        since = last.delivered is not None and last.delivered.at > failed.at
        over = "; since then one has arrived" if since else ""
        rows.append(("Went wrong", f"{moment_said(failed.at, bench.now())}: {failed.why}{over}"))
    if doubt := _doubt(bench):
        rows.append(("Clock", doubt))
    for line in named_rows(rows, desk.columns):
        typer.echo(line)


def _doubt(bench: Bench) -> str | None:
    return clock_doubt(read_told(bench.state / MARKS), bench.today()) or None


def _runs(bench: Bench) -> bool:
    return any(is_held(folder, beside=beside) for folder, beside in locks(bench))


def _state(bench: Bench) -> str:
    runs, kept = _runs(bench), login_service.is_kept_on(bench)
    on = "`stillroom reminders on`"
    if kept is None:
        running = "these run now all the same" if runs else f"{on} takes this one"
        return f"on for another book or another stillroom; {running}"
    if kept and runs:
        return "on: they run now and start at every login"
    if kept:
        return f"set up, but they do not run now; {on} starts them"
    if runs:
        return f"they run now, and end with what started them; {on} keeps them on"
    return f"off; {on}"


def _next(bench: Bench) -> str:
    if not _runs(bench):
        return "none comes by itself while they do not run"
    now, practice = bench.now(), bench.practice
    told = read_told(bench.state / MARKS)
    if is_time(now, practice, told):
        return "within a minute, if anything is due"
    is_today = not told.has(now.date()) and now.time() < practice.digest_at
    return (
        f"{'today' if is_today else 'tomorrow'} at {practice.digest_at:%H:%M}, if anything is due"
    )


def _last(bench: Bench, last: Deliveries) -> str:
    if (done := last.delivered) is None:
        return "never, as far as this machine knows"
    way = "the desktop" if done.channel in _DESKTOP else done.channel
    told_of = f"{done.lines} reminder{'s' * (done.lines != 1)}"
    return f"{moment_said(done.at, bench.now())}, {told_of} through {way}"


def _fields(bench: Bench) -> dict[str, object]:
    last, kept = read_deliveries(bench.state), login_service.is_kept_on(bench)
    return {
        "kept_on": bool(kept),
        "kept_on_for_another": kept is None,
        "running": _runs(bench),
        "digest_at": f"{bench.practice.digest_at:%H:%M}",
        "last_digest": read_told(bench.state / MARKS).last_digest,
        "delivered": last.delivered,
        "failed": last.failed,
        "clock": _doubt(bench),
    }


def _test(desk: Desk) -> None:
    """Send one message the way reminders take."""
    terminal = Terminal(sys.stdout, is_read=True)
    text = f"Reminders about {desk.bench.book} arrive this way."
    notice = Notice("Stillroom: a test", text, key="test")
    ways = in_order(desk.bench.practice.channels, desktop_channels())
    try:
        channel = Chain(ways if desk.as_json else [*ways, terminal]).deliver(notice)
    except NotDelivered as reason:
        raise TrackerError(
            f"The test message could not be delivered: {reason.why}.",
            where="the channels of the practice and the desktop",
            do=f"see that a notification server runs in this session. Else: "
            f"{login_service.OTHER_WAYS}.",
        ) from reason
    if desk.as_json:
        echo_json({"channel": channel})
        return
    if channel == terminal.name:
        why = _no_desktop(desk.bench) or "no channel took it"
        typer.echo(
            shown(f"No channel took it, so a terminal alone would show it: {why}."), err=True
        )
        typer.echo(f"What works without a desktop: {login_service.OTHER_WAYS}.", err=True)
        raise typer.Exit(1)
    way = "desktop" if channel in _DESKTOP else channel
    typer.echo(f"The {way} took it: look at your screen.", err=True)
