"""Reminders: `remind` once, `daemon` always."""

import logging
import sys
from functools import cache
from typing import Annotated

import typer

from tracker.cli.desk import AsJson, Desk
from tracker.cli.printing import echo_json
from tracker.core.values.errors import TrackerError
from tracker.daemon.notify import (
    Chain,
    DesktopBus,
    NotDelivered,
    Terminal,
    desktop_channels,
    in_order,
)
from tracker.daemon.notify.terminal import is_terminal
from tracker.outputs.terminal.due_groups import due_fields
from tracker.outputs.words.not_whole import incomplete

app = typer.Typer(rich_markup_mode=None)

Plainly = Annotated[bool, typer.Option("--plain", help="Print it here, not on the desktop.")]
Printed = Annotated[
    bool,
    typer.Option(
        "--printed",
        help="Count what is printed as told, though this is no terminal.",
    ),
]


@app.command()
def remind(
    context: typer.Context,
    plain: Plainly = False,
    printed: Printed = False,
    as_json: AsJson = False,
) -> None:
    """Send what is due once, if it was not sent today."""
    from tracker.daemon.deliver import tell

    desk = Desk(context.obj)
    desk.bench.must_be_begun()
    today = desk.bench.today()
    terminal = Terminal(sys.stderr if as_json else sys.stdout, is_read=printed)
    channels = Chain(
        [terminal]
        if plain
        else [*in_order(desk.bench.practice.channels, desktop_channels()), terminal]
    )
    try:
        told = tell(desk.bench, channels, today)
    except NotDelivered as reason:
        raise TrackerError(
            f"The reminder does not count as delivered: {reason.why}.",
            where="the channels of the practice, the desktop and the terminal",
            do="see `stillroom due`, which says the same. Where what is printed reaches you, "
            "because cron mails it, add --printed.",
        ) from reason
    if told.missing and not told.lines:
        typer.echo(incomplete(told.missing), err=True)
    if told.unmarked and told.lines:
        typer.echo(f"Delivered, but not marked as delivered: {told.unmarked}.", err=True)
    if as_json:
        echo_json({"told": due_fields(told.lines, today), "channel": told.channel})
    elif not told.lines:
        typer.echo("Nothing new is due.", err=True)
    elif told.channel != terminal.name:
        number = len(told.lines)
        told_of = f"{number} reminder{'s' * (number != 1)}"  # some of them share a line
        typer.echo(f"Delivered {told_of} through the {told.channel}.", err=True)


@app.command()
def daemon(
    context: typer.Context,
    heartbeat: Annotated[float | None, typer.Option(hidden=True, min=0.05, max=3600)] = None,
) -> None:
    """Keep running, and remind each day at the hour set."""
    _stay(Desk(context.obj), heartbeat)


def _stay(desk: Desk, heartbeat: float | None) -> None:
    """Remind until a signal; a heartbeat of another length says each tick, for the tests."""
    from tracker.daemon.answering import AnsweringDesktop
    from tracker.daemon.notify.further import Further
    from tracker.daemon.notify.sparing import Sparing
    from tracker.daemon.ticker import HEARTBEAT_S, run

    desk.bench.check_is_book()
    logging.basicConfig(level=logging.INFO, format="%(asctime)s %(message)s", stream=sys.stderr)
    # A beat that finds the one before it still at work is left out, and that is no news.
    logging.getLogger("apscheduler").setLevel(logging.ERROR)
    if heartbeat is not None:
        logging.getLogger("stillroom").setLevel(logging.DEBUG)
    desktop = [
        AnsweringDesktop(one, desk.bench) if isinstance(one, DesktopBus) else Sparing(one)
        for one in desktop_channels()
    ]
    further = cache(lambda name: Sparing(Further(name)))  # one for as long as the daemon runs
    # Without a terminal nobody reads what is printed, so printing delivers nothing.
    last_resort = [Terminal(sys.stdout)] if is_terminal(sys.stdout) else []
    practice = desk.bench.practice
    typer.echo(f"Reminding daily at {practice.digest_at:%H:%M}. Ctrl-C ends it.", err=True)
    run(
        desk.bench,
        lambda bench: Chain([*in_order(bench.practice.channels, desktop, further), *last_resort]),
        heartbeat_s=heartbeat or HEARTBEAT_S,
        buttons=True,
    )
