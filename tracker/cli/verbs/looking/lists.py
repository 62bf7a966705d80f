"""Questions about the whole shelf: `shelf`, `stock`, `due`."""

from datetime import date
from typing import Annotated

import typer

from tracker.bench.day_shelf import DayShelf, day_shelf
from tracker.cli.damaged_book import damaged
from tracker.cli.desk import AsCsv, AsJson, Desk, On, desk_json, echo_csv, echo_lines
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Batch, whole
from tracker.core.values.text import shown
from tracker.outputs.answer_fields import in_columns
from tracker.outputs.terminal import shelf_table, stock_table
from tracker.outputs.terminal.due_table import due_fields, due_table
from tracker.outputs.view.day import day_of
from tracker.outputs.words.flags import flag_text

app = typer.Typer(rich_markup_mode=None)

Done = Annotated[bool, typer.Option("--done", help="Jars whose herb is out and blends, as well.")]
Costed = Annotated[bool, typer.Option("--cost", help="What it cost, instead of strength.")]


def _batches(desk: Desk, on: str | None, *, live_only: bool) -> list[Batch]:
    return desk.bench.batches(live_only=live_only, on=desk.day(on))


@app.command()
def shelf(
    context: typer.Context,
    done: Done = False,
    belongs: Annotated[
        str | None, typer.Option("--belongs", help="Only what belongs to that reference.")
    ] = None,
    on: On = None,
    as_json: AsJson = False,
    as_csv: AsCsv = False,
) -> None:
    """The jars with herb in them, what matters next first."""
    desk = Desk(context.obj)
    context.with_resource(desk.bench.asking())
    today = desk.day(on) or desk.bench.today()
    practice = desk.bench.practice
    found = _batches(desk, on, live_only=not done)
    if belongs is not None:
        wanted = belongs.strip().casefold()
        found = [one for one in found if (whole(one).belongs_to or "").casefold() == wanted]
    rows = found if done else [*_with_herb_in(found)]
    if as_json:
        desk_json(shelf_table.shelf_fields(rows, practice, today))
    elif as_csv:
        echo_csv(in_columns(shelf_table.shelf_fields(rows, practice, today)))
    elif not rows and belongs is not None:
        typer.echo(f"Nothing with herb in it belongs to {shown(belongs)}.", err=True)
    elif not rows:
        typer.echo("The shelf is empty. `stillroom charge` begins the first jar.", err=True)
    else:
        _show_shelf(desk, found, today, done=done)
    damaged(desk)


def _with_herb_in(batches: list[Batch]) -> list[Jar]:
    return [one for one in batches if isinstance(one, Jar) and one.is_macerating]


def _show_shelf(desk: Desk, found: list[Batch], today: date, *, done: bool) -> None:
    colour, total = desk.colour, desk.columns
    lines = shelf_table.shelf_table(
        _with_herb_in(found), desk.bench.practice, today, total=total, colour=colour
    )
    if done:
        lines += [
            "",
            *shelf_table.done_table(found, desk.bench.practice, today, total=total, colour=colour),
        ]
    echo_lines(lines, colour)


@app.command()
def stock(
    context: typer.Context,
    cost: Costed = False,
    on: On = None,
    as_json: AsJson = False,
    as_csv: AsCsv = False,
) -> None:
    """Extracts and bottles, the first to expire first."""
    desk = Desk(context.obj)
    context.with_resource(desk.bench.asking())
    today = desk.day(on) or desk.bench.today()
    jars = _batches(desk, on, live_only=True)
    lots = {lot.id: lot for lot in desk.bench.lots()} if cost or as_json or as_csv else None
    if as_json or as_csv:
        answers = stock_table.stock_fields(jars, desk.bench.practice, today, lots)
        desk_json(answers) if as_json else echo_csv(in_columns(answers))
    elif not stock_table.in_stock(jars, desk.bench.practice):
        typer.echo("There is no stock. `stillroom press` makes some.", err=True)
    else:
        colour = desk.colour
        lines = stock_table.stock_table(
            jars,
            desk.bench.practice,
            today,
            total=desk.columns,
            colour=colour,
            lots=lots,
        )
        echo_lines(lines, colour)
    damaged(desk)


@app.command()
def due(
    context: typer.Context, on: On = None, as_json: AsJson = False, as_csv: AsCsv = False
) -> None:
    """What wants the maker, most pressing first, one line a jar."""
    desk = Desk(context.obj)
    context.with_resource(desk.bench.asking())
    today = desk.day(on) or desk.bench.today()
    shelf = (
        day_shelf(desk.bench, today) if on is None else DayShelf(_batches(desk, on, live_only=True))
    )
    day = day_of(
        shelf.batches, desk.bench.practice, today, desk.bench.not_held(), ahead=shelf.ahead
    )
    if as_json or as_csv:
        answers = due_fields(day.lines)
        desk_json(answers) if as_json else echo_csv(answers)
    elif not day.lines:
        typer.echo("Nothing is due today.", err=True)
    else:
        echo_lines(due_table(day.lines, total=desk.columns, colour=desk.colour), desk.colour)
    for code, flag in day.questions:
        typer.echo(f"QUESTION about {shown(code)}: {shown(flag_text(flag))}.", err=True)
    damaged(desk)
