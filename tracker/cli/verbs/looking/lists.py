"""Questions about the whole shelf: `shelf`, `stock`, `due`."""

from typing import Annotated

import typer

from tracker.cli.desk import AsCsv, AsJson, On
from tracker.cli.verbs.looking import whole_shelf
from tracker.cli.verbs.looking.whole_shelf import Form

app = typer.Typer(rich_markup_mode=None)

Done = Annotated[bool, typer.Option("--done", help="Jars whose herb is out and blends, as well.")]
Costed = Annotated[bool, typer.Option("--cost", help="What it cost, instead of strength.")]
Belongs = Annotated[
    str | None, typer.Option("--belongs", help="Only what belongs to that reference.")
]


@app.command()
def shelf(
    context: typer.Context,
    done: Done = False,
    belongs: Belongs = None,
    on: On = None,
    as_json: AsJson = False,
    as_csv: AsCsv = False,
) -> None:
    """The jars with herb in them, what matters next first."""
    form = _form(as_json, as_csv)
    whole_shelf.shelf(context.obj, on, done=done, belongs=belongs, form=form)


@app.command()
def stock(
    context: typer.Context,
    cost: Costed = False,
    on: On = None,
    as_json: AsJson = False,
    as_csv: AsCsv = False,
) -> None:
    """Extracts and bottles, the first to expire first."""
    whole_shelf.stock(context.obj, on, cost=cost, form=_form(as_json, as_csv))


@app.command()
def due(
    context: typer.Context, on: On = None, as_json: AsJson = False, as_csv: AsCsv = False
) -> None:
    """What needs doing, the most pressing first.

    Each jar has one line.
    """
    whole_shelf.due(context.obj, on, form=_form(as_json, as_csv))


def _form(as_json: bool, as_csv: bool) -> Form:
    return "json" if as_json else "csv" if as_csv else "table"
