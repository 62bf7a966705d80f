"""The shelf in pictures: `timeline`, `season`, `supply`.

Plain English for what is looked at: one jar's time, a year's season, the supply of each herb.
What pressing gave is drawn by `yields`.
"""

from typing import Annotated

import typer

from tracker.cli.damaged_book import damaged
from tracker.cli.desk import AsJson, Desk, On
from tracker.cli.given.code_asked import code_asked
from tracker.cli.named_file import Force
from tracker.cli.printing import echo_json, echo_lines
from tracker.cli.verbs.looking.picture_file import To, views_of, write_picture
from tracker.outputs.view.thing_view import view_of

app = typer.Typer(rich_markup_mode=None)

Code = Annotated[str, typer.Argument(help="A jar: CAOF-26-01.")]
Months = Annotated[int, typer.Option("--months", min=1, max=24, help="How many months.")]


@app.command()
def timeline(
    context: typer.Context,
    code: Code,
    on: On = None,
    to: To = None,
    force: Force = False,
    as_json: AsJson = False,
) -> None:
    """A jar's life as a line through time.

    From charge and shakes to ready, pressed and good through.
    """
    from tracker.outputs.pictures import ascii_life, jar_life

    desk = Desk(context.obj, as_json=as_json)
    day = desk.day(on)
    thing = desk.bench.find(code_asked(desk, code, day), on=day)
    today = day or desk.bench.today()
    view = view_of(thing, desk.bench.practice, today)
    entries = desk.bench.entries_of(thing.batch.id)
    life = jar_life.life(view, entries, today, desk.bench.names_of(entries))
    if as_json:
        echo_json(jar_life.life_answer(life))
    elif to is not None:
        from tracker.outputs.pictures import plots

        words = ascii_life.drawn(life, total=80, colour=False)
        write_picture(desk, to, lambda: plots.life_picture(life), words, force=force)
    else:
        echo_lines(ascii_life.drawn(life, total=desk.columns, colour=desk.colour), desk.colour)
    damaged(desk)


@app.command()
def season(
    context: typer.Context,
    months: Months = 12,
    on: On = None,
    to: To = None,
    force: Force = False,
    as_json: AsJson = False,
) -> None:
    """What becomes ready and what expires, month by month."""
    from tracker.outputs.pictures import season

    desk = Desk(context.obj)
    day = desk.day(on)
    today = day or desk.bench.today()
    views = views_of(desk, desk.bench.batches(live_only=True, on=day), today)
    found = season.season(views, today, months=months)
    if as_json:
        echo_json(season.season_answer(found))
    elif to is not None:
        from tracker.outputs.pictures import plots

        words = season.lines(found, desk.bench.practice.names, total=80, colour=False)
        write_picture(desk, to, lambda: plots.season_picture(found), words, force=force)
    else:
        names, total = desk.bench.practice.names, desk.columns
        echo_lines(season.lines(found, names, total=total, colour=desk.colour), desk.colour)
    damaged(desk)


@app.command()
def supply(
    context: typer.Context,
    months: Months = 12,
    on: On = None,
    to: To = None,
    force: Force = False,
    as_json: AsJson = False,
) -> None:
    """The stock of each herb through time, and when it runs out.

    What is used of it is drawn as well.
    """
    from tracker.outputs.pictures import supply

    desk = Desk(context.obj)
    today = desk.day(on) or desk.bench.today()
    days = supply.days_to_look_at(today, months)
    found = supply.supplies(desk.bench.shelf_through(days), desk.bench.practice)
    if as_json:
        echo_json(supply.supply_answers(found))
    elif to is not None:
        from tracker.outputs.pictures import plots

        words = supply.lines(found, desk.bench.practice.names, total=80, colour=False)
        write_picture(desk, to, lambda: plots.supply_picture(found), words, force=force)
    elif not found:
        typer.echo("There is no stock. `stillroom press` makes some.", err=True)
    else:
        names, total = desk.bench.practice.names, desk.columns
        echo_lines(supply.lines(found, names, total=total, colour=desk.colour), desk.colour)
    damaged(desk)
