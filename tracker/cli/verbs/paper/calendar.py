"""`calendar`: the days that matter, as a file that calendar programs import."""

import sys
from datetime import UTC, timedelta
from pathlib import Path
from typing import Annotated

import typer

from tracker.cli.damaged_book import damaged, missing_of
from tracker.cli.desk import AsJson, Desk
from tracker.cli.named_file import Force, write_named
from tracker.cli.printing import echo_json
from tracker.core.values.text import shown
from tracker.outputs.calendar_file import calendar as calendar_bytes
from tracker.outputs.words.not_whole import incomplete

app = typer.Typer(rich_markup_mode=None)


@app.command()
def calendar(
    context: typer.Context,
    file: Annotated[
        Path | None, typer.Argument(help="Where to; standard output where it is left out.")
    ] = None,
    force: Force = False,
    as_json: AsJson = False,
) -> None:
    """The days that matter, as a file for a calendar.

    Earliest press, longest time and good-through days as iCalendar, each with an alarm.
    """
    desk = Desk(context.obj)
    practice = desk.bench.practice
    at = practice.digest_at
    hour = timedelta(hours=at.hour, minutes=at.minute)
    text = calendar_bytes(
        desk.bench.batches(live_only=True),
        practice,
        desk.bench.now().astimezone(UTC),
        hour,
        incomplete(missing_of(desk.bench.damages())),
    )
    damaged(desk)
    days = text.count(b"BEGIN:VEVENT")
    is_named = file is not None and file.name != ""
    if not is_named and not as_json:
        sys.stdout.buffer.write(text)
        return
    if is_named:
        write_named(file, text, force=force)
    if as_json:
        written = {"file": str(file)} if is_named else {"file": None, "calendar": text.decode()}
        echo_json(written | {"days": days})
        return
    typer.echo(shown(f"Wrote {file}: {days} day{'s' * (days != 1)}."), err=True)
