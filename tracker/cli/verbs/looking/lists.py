"""Questions about the whole shelf: `shelf`, `stock`, `due`."""

from typing import Annotated

import typer

from tracker.cli.desk import AsCsv, AsJson, On
from tracker.cli.verbs.looking import whole_shelf
from tracker.cli.verbs.looking.shelf_filters import Wanted
from tracker.cli.verbs.looking.whole_shelf import Form

app = typer.Typer(rich_markup_mode=None)

Done = Annotated[bool, typer.Option("--done", help="Jars whose herb is out and blends, as well.")]
Costed = Annotated[bool, typer.Option("--cost", help="What it cost, instead of strength.")]
Belongs = Annotated[
    str | None, typer.Option("--belongs", help="Only what belongs to that reference.")
]

Place = Annotated[str | None, typer.Option("--place", help="Only what stands there.")]
Herb = Annotated[
    str | None, typer.Option("--herb", help="Only what is made of that herb, by any name of it.")
]
Kind = Annotated[
    str | None, typer.Option("--kind", help="Only that kind: spirit, oil, vinegar, glycerite …")
]


@app.command()
def shelf(
    context: typer.Context,
    done: Done = False,
    place: Place = None,
    herb: Herb = None,
    kind: Kind = None,
    belongs: Belongs = None,
    on: On = None,
    as_json: AsJson = False,
    as_csv: AsCsv = False,
) -> None:
    """The jars with herb in them, what matters next first."""
    wanted, form = Wanted(place, herb, kind, belongs), _form(as_json, as_csv)
    whole_shelf.shelf(context.obj, on, done=done, wanted=wanted, form=form)


@app.command()
def stock(
    context: typer.Context,
    cost: Costed = False,
    place: Place = None,
    herb: Herb = None,
    kind: Kind = None,
    belongs: Belongs = None,
    on: On = None,
    as_json: AsJson = False,
    as_csv: AsCsv = False,
) -> None:
    """Extracts and bottles, the first to expire first."""
    wanted, form = Wanted(place, herb, kind, belongs), _form(as_json, as_csv)
    whole_shelf.stock(context.obj, on, cost=cost, wanted=wanted, form=form)


@app.command()
def due(
    context: typer.Context,
    unfolded: Annotated[
        bool, typer.Option("--all", help="Every line, however long its group is.")
    ] = False,
    on: On = None,
    as_json: AsJson = False,
    as_csv: AsCsv = False,
) -> None:
    """What needs doing, the most pressing first.

    It comes in groups; `--all` unfolds the long ones.
    """
    whole_shelf.due(context.obj, on, unfolded=unfolded, form=_form(as_json, as_csv))


def _form(as_json: bool, as_csv: bool) -> Form:
    return "json" if as_json else "csv" if as_csv else "table"
