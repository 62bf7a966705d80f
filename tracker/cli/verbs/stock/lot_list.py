"""The lots of herb and liquid: `lots`."""

from typing import Annotated

import typer

from tracker.cli.damaged_book import damaged
from tracker.cli.desk import AsCsv, AsJson, Desk, On
from tracker.cli.printing import echo_csv, echo_json, echo_lines
from tracker.core.values.text import shown
from tracker.outputs.answer_fields import in_columns
from tracker.outputs.terminal import lot_table as screens
from tracker.outputs.view.lot_view import lot_views

app = typer.Typer(rich_markup_mode=None)


@app.command()
def lots(
    context: typer.Context,
    every: Annotated[bool, typer.Option("--all", help="Those used up as well.")] = False,
    on: On = None,
    as_json: AsJson = False,
    as_csv: AsCsv = False,
) -> None:
    """Herb and liquids in store: what came in, what is left.

    Herb, spirit and glycerin, and what was used of each.
    """
    desk = Desk(context.obj)
    context.with_resource(desk.bench.asking())
    batches, every_lot = desk.bench.shelved(on=desk.day(on, "past"))
    found = lot_views(every_lot, batches)
    rows = [one for one in found if every or one.is_worth_a_row]
    if as_json or as_csv:
        answers = [screens.lot_fields(one) for one in rows]
        echo_json(answers) if as_json else echo_csv(in_columns(answers))
    elif not rows:
        typer.echo("There are no lots" + (" left." if found else "."), err=True)
    else:
        lines = screens.lot_table(
            rows, desk.bench.practice.names, total=desk.columns, colour=desk.colour
        )
        echo_lines(lines, desk.colour)
    if on is not None:
        now = {one.id: one for one in desk.bench.lots()}
        for lot in every_lot:
            if lot.hold is None and (hold := now[lot.id].hold) is not None:
                since = f"{lot.code}: on hold since {desk.bench.present.said(hold.on)}: {hold.why}"
                typer.echo(shown(since), err=True)
    damaged(desk)
