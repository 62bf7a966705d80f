"""`calendar`: the days that matter, as a file that calendar programs import."""

import sys
from datetime import timedelta
from pathlib import Path
from typing import Annotated

import typer

from tracker.cli.damaged_book import damaged, missing_of
from tracker.cli.desk import AsJson, Desk, On
from tracker.cli.named_file import Force, write_named
from tracker.cli.printing import echo_json
from tracker.core.values.text import shown
from tracker.outputs.calendar_file import calendar as calendar_bytes
from tracker.outputs.words.not_whole import incomplete

_OVER = b"\r\nSTATUS:CANCELLED\r\n"

app = typer.Typer(rich_markup_mode=None)


@app.command()
def calendar(
    context: typer.Context,
    to: Annotated[
        Path | None,
        typer.Option("--to", help="Where to; standard output where it is left out."),
    ] = None,
    force: Force = False,
    on: On = None,
    as_json: AsJson = False,
) -> None:
    """The days that matter, as a file for a calendar.

    Earliest press, longest time, looks and last good days as iCalendar, each with an alarm.
    """
    desk = Desk(context.obj)
    bench, practice = desk.bench, desk.bench.practice
    day, at = desk.day(on), practice.digest_at
    hour = timedelta(hours=at.hour, minutes=at.minute)
    text = calendar_bytes(
        bench.batches(on=day),
        practice,
        bench.now(),
        hour,
        incomplete(missing_of(bench.damages())),
        today=day,
        flags=bench.not_held(),
        entries=bench.entries(),
    )
    damaged(desk)
    if to is None and not as_json:
        sys.stdout.buffer.write(text)
        return
    if to is not None:
        write_named(to, text, force=force)
    over = text.count(_OVER)
    number = text.count(b"BEGIN:VEVENT") - over
    if as_json:
        written = {"file": str(to)} if to is not None else {"file": None, "calendar": text.decode()}
        echo_json(written | {"days": number, "cancelled": over})
        return
    more = f", {over} cancelled" if over else ""
    typer.echo(shown(f"Wrote {to}: {number} day{'s' * (number != 1)}{more}."), err=True)
