"""`demo`: a book to play with."""

import shlex
from pathlib import Path
from typing import Annotated

import typer

from tracker import clock
from tracker.bench.bench import Bench
from tracker.cli.desk import AsJson
from tracker.cli.printing import echo_json

app = typer.Typer(rich_markup_mode=None)


@app.command()
def demo(
    folder: Annotated[Path, typer.Argument(help="A new folder for it.")] = Path("demo-book"),
    as_json: AsJson = False,
) -> None:
    """Copy the demo book to a new folder, to try things on.

    It is moved on so that its last day is today.
    """
    from tracker.journal.demo_copy import copy_demo

    copied = copy_demo(folder, clock.now(clock.zone(None)))
    bench = Bench(folder)
    if bench.model.file.exists():
        # An earlier copy stood there and its end is remembered; this one is not its remains.
        bench.accept()
    if as_json:
        made = {"folder": str(folder), "jars": copied.jars, "events": copied.events}
        echo_json(made | {"example": copied.example})
        return
    typer.echo(
        f"A book to play with, invented from first to last, stands in {folder}: "
        f"{copied.jars} jars, {copied.events} events, three years."
    )
    typer.echo("Try next:")
    verbs = ("due", "shelf", "stock", f"show {copied.example}", f"history {copied.example}")
    for verb in verbs:
        typer.echo(f"  stillroom --book {shlex.quote(str(folder))} {verb}")
