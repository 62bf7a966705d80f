"""Questions about one thing: `show`, `history`."""

from typing import Annotated

import typer

from tracker.cli.asking import damaged
from tracker.cli.desk import AsJson, Desk, On, desk_json, echo_lines
from tracker.journal.alike import pressed_alike
from tracker.outputs import accounts, outlook
from tracker.outputs.answers import about

app = typer.Typer(rich_markup_mode=None)

Code = Annotated[str, typer.Argument(help="A jar, liquor or bottle: CAOF-26-01A/3.")]


@app.command()
def show(context: typer.Context, code: Code, on: On = None, as_json: AsJson = False) -> None:
    """Everything reckoned about one thing, with how."""
    desk = Desk(context.obj)
    day = desk.day(on)
    thing = desk.bench.find(code, on=day)
    today = day or desk.bench.today()
    alike = []
    if thing.jar.is_macerating:
        alike = pressed_alike(desk.bench.model, thing.jar.herb, today)
    from tracker.outputs import costing

    practice = desk.bench.practice
    lots = {lot.id: lot for lot in desk.bench.lots()}
    if as_json:
        costs = costing.cost_answer(thing, lots, practice.currency)
        desk_json(about(thing, today) | outlook.likely_answer(thing.jar, alike) | costs)
    else:
        costs_rows = costing.cost_rows(thing, lots, practice.currency)
        lines = accounts.show(
            thing,
            today,
            colour=desk.colour,
            practice=practice,
            alike=alike,
            costs=costs_rows,
        )
        echo_lines(lines, desk.colour)
    damaged(desk)


@app.command()
def history(context: typer.Context, code: Code, as_json: AsJson = False) -> None:
    """Every event about a jar, corrections and struck ones included."""
    desk = Desk(context.obj)
    thing = desk.bench.find(code)
    entries = desk.bench.entries_of(thing.jar.id)
    from tracker.outputs import histories

    if as_json:
        desk_json(histories.history_answers(entries))
    else:
        zone = desk.bench.now().tzinfo
        assert zone is not None
        lines = histories.history(entries, thing.jar.code, zone, colour=desk.colour)
        echo_lines(lines, desk.colour)
    damaged(desk)
