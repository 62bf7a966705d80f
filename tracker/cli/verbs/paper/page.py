"""`page`: the whole shelf as one HTML file."""

import sys
from pathlib import Path
from typing import Annotated

import typer

from tracker.cli.damaged_book import damaged
from tracker.cli.desk import AsJson, Desk, On
from tracker.cli.named_file import Force, write_named
from tracker.cli.printing import echo_json
from tracker.core.values.errors import MisusedError
from tracker.core.values.text import shown

app = typer.Typer(rich_markup_mode=None)


@app.command()
def page(
    context: typer.Context,
    to: Annotated[
        Path | None,
        typer.Option("--to", help="Where to; standard output where it is left out."),
    ] = None,
    force: Force = False,
    on: On = None,
    as_json: AsJson = False,
) -> None:
    """The whole shelf as one HTML file that needs no network.

    To read on a phone or to print.
    """
    from tracker.daemon.page_folder import page_of

    desk = Desk(context.obj)
    if to is None and sys.stdout.isatty() and not as_json:
        raise MisusedError(
            "A page is nothing to read in a terminal.",
            where="the command line",
            do="name the file to write: stillroom page --to stillroom.html.",
        )
    made = page_of(desk.bench, on=desk.day(on))
    if to is not None:
        write_named(to, made, force=force)
    if as_json:
        written = {"file": None, "page": made.decode()} if to is None else {"file": str(to)}
        echo_json(written | {"bytes": len(made)})
    elif to is None:
        sys.stdout.buffer.write(made)
    else:
        typer.echo(shown(f"Wrote {to}: {len(made) / 1000:.0f} kB."), err=True)
    damaged(desk)
