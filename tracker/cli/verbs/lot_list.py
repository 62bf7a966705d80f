"""The lots of herb and liquid: `lots`."""

from typing import Annotated

import typer

from tracker.cli.desk import AsCsv, AsJson, Desk, desk_json, echo_csv, echo_lines
from tracker.cli.verbs.lists import damaged
from tracker.core.reckoning.flow_graph import forwards, graph_of, node_of
from tracker.core.reckoning.lot_balance import accounts
from tracker.core.shelf.lot import Lot
from tracker.outputs.terminal import lot_table as screens
from tracker.outputs.terminal.trace_lines import amount

app = typer.Typer(rich_markup_mode=None)


@app.command()
def lots(
    context: typer.Context,
    every: Annotated[bool, typer.Option("--all", help="Those used up as well.")] = False,
    as_json: AsJson = False,
    as_csv: AsCsv = False,
) -> None:
    """Herb, spirit and glycerin: what came in, what was used, what is left."""
    desk = Desk(context.obj)
    found = accounts(desk.bench.lots(), desk.bench.batches())
    rows = [
        (lot, one)
        for lot, one in found
        if every or not one.is_used_up or one.is_overdrawn or lot.on_hold
    ]
    if as_json or as_csv:
        answers = [screens.answer(lot, one) for lot, one in rows]
        desk_json(answers) if as_json else echo_csv(answers)
    elif not rows:
        typer.echo("There are no lots" + (" left." if found else "."), err=True)
    else:
        echo_lines(screens.lots(rows, total=desk.columns, colour=desk.colour), desk.colour)
    damaged(desk)


def show_lot(desk: Desk, lot: Lot, *, as_json: bool) -> None:
    """Everything known of one lot."""
    jars, every = desk.bench.batches(), desk.bench.lots()
    ((_, one),) = accounts([lot], jars)
    if as_json:
        desk_json(screens.answer(lot, one))
        return
    graph = graph_of(jars, every)
    uses = [
        f"{graph.names[line.node]}  {amount(line.edge.ml, line.edge.g)}, {line.edge.on}"
        for line in forwards(graph, node_of(lot))
        if line.depth == 0
    ]
    echo_lines(screens.show(lot, one, uses, colour=desk.colour), desk.colour)
