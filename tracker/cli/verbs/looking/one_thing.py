"""Everything calculated about one thing: `show`."""

from typing import Annotated

import typer

from tracker.cli.desk import AsJson, On
from tracker.cli.verbs.looking import thing_shown

app = typer.Typer(rich_markup_mode=None)

Code = Annotated[str, typer.Argument(help="A jar, extract, bottle or lot: CAOF-26-01A/3.")]


@app.command()
def show(
    context: typer.Context,
    code: Code,
    on: On = None,
    sources: Annotated[
        bool, typer.Option("--sources", help="Name the source of every caution.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """All that is known about one thing, and how."""
    thing_shown.show(context.obj, code, on, sources=sources, as_json=as_json)
