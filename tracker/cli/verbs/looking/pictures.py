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
    from tracker.outputs.pictures.life import ascii_life, jar_life

    desk = Desk(context.obj, as_json=as_json)
    day = desk.day(on)
    thing = desk.bench.find(code_asked(desk, code, day), on=day)
    today = day or desk.bench.today()
    practice = desk.bench.practice
    view = view_of(thing, practice, today, flags=desk.bench.not_held())
    entries = desk.bench.entries_of(thing.batch.id)
    names = desk.bench.names_of(entries)
    life = jar_life.life(view, entries, today, names, practice.names)
    if as_json:
        echo_json(jar_life.life_answer(life))
    elif to is not None:
        from tracker.outputs.pictures.life.life_drawing import life_picture

        words = ascii_life.drawn(life, total=80, colour=False)
        write_picture(desk, to, lambda heed: life_picture(life, heed=heed), words, force=force)
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
    from tracker.outputs.pictures.season import season, season_lines

    desk = Desk(context.obj)
    day, names = desk.day(on), desk.bench.practice.names
    today = day or desk.bench.today()
    views = views_of(desk, desk.bench.batches(live_only=True, on=day), today)
    found = season.season(views, today, months=months)
    if as_json:
        echo_json(season.season_answer(found))
    elif to is not None:
        from tracker.outputs.pictures.season.season_drawing import season_picture

        words = season_lines.lines(found, names, total=80, colour=False)
        write_picture(
            desk, to, lambda heed: season_picture(found, names, heed=heed), words, force=force
        )
    else:
        lines = season_lines.lines(found, names, total=desk.columns, colour=desk.colour)
        echo_lines(lines, desk.colour)
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
    from tracker.outputs.pictures.supply import supply, supply_lines

    desk = Desk(context.obj)
    today, practice = desk.day(on) or desk.bench.today(), desk.bench.practice
    snapshots = desk.bench.shelf_through(supply.first_day(today, months), today)
    found = supply.supplies(snapshots, practice, practice.names, desk.bench.not_held())
    if as_json:
        echo_json(supply.supply_answers(found))
    elif to is not None:
        from tracker.outputs.pictures.supply.supply_drawing import supply_picture

        words = supply_lines.lines(found, practice.names, total=80, colour=False)
        write_picture(
            desk,
            to,
            lambda heed: supply_picture(found, practice.names, heed=heed),
            words,
            force=force,
        )
    elif not found:
        typer.echo("There is no stock. `stillroom press` makes some.", err=True)
    else:
        total = desk.columns
        lines = supply_lines.lines(found, practice.names, total=total, colour=desk.colour)
        echo_lines(lines, desk.colour)
    damaged(desk)
