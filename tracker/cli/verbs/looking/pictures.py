"""The shelf in pictures: `timeline`, `season`, `supply`, `yields`.

Plain English for what is looked at: one jar's time, a year's season, the supply of each herb,
what pressing yields.
"""

from collections.abc import Callable, Iterable, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tracker.cli.damaged_book import damaged, missing_of
from tracker.cli.desk import AsJson, Desk, On, desk_json, echo_lines
from tracker.cli.named_file import Force, write_named
from tracker.core.shelf.thing import Batch, whole
from tracker.core.values.errors import MisusedError
from tracker.core.values.text import shown
from tracker.outputs.view.thing_view import ThingView, view_of

if TYPE_CHECKING:
    from tracker.outputs.pictures.svg import Picture

app = typer.Typer(rich_markup_mode=None)

Code = Annotated[str, typer.Argument(help="A jar: CAOF-26-01.")]
To = Annotated[
    Path | None,
    typer.Option("--to", help="Write it to a file instead: NAME.svg or NAME.html."),
]
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
    """A jar's life as a line through time: charge, shakes, ready, pressed, good through."""
    from tracker.outputs.pictures import ascii_life, jar_life

    desk = Desk(context.obj)
    day = desk.day(on)
    thing = desk.bench.find(code, on=day)
    today = day or desk.bench.today()
    view = view_of(thing, desk.bench.practice, today)
    entries = desk.bench.entries_of(thing.batch.id)
    life = jar_life.life(view, entries, today, desk.bench.names_of(entries))
    if as_json:
        desk_json(jar_life.life_answer(life))
    elif to is not None:
        from tracker.outputs.pictures import plots

        words = ascii_life.drawn(life, total=80, colour=False)
        _write(desk, to, lambda: plots.life_picture(life), words, force=force)
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
    views = _views(desk, desk.bench.batches(live_only=True, on=day), today)
    found = season.season(views, today, months=months)
    if as_json:
        desk_json(season.season_answer(found))
    elif to is not None:
        from tracker.outputs.pictures import plots

        words = season.lines(found, desk.bench.practice.names, total=80, colour=False)
        _write(desk, to, lambda: plots.season_picture(found), words, force=force)
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
    """The stock of each herb through time, what is used, and when it runs out."""
    from tracker.outputs.pictures import supply

    desk = Desk(context.obj)
    today = desk.day(on) or desk.bench.today()
    days = supply.days_to_look_at(today, months)
    found = supply.supplies(desk.bench.shelf_through(days), desk.bench.practice)
    if as_json:
        desk_json(supply.supply_answers(found))
    elif to is not None:
        from tracker.outputs.pictures import plots

        words = supply.lines(found, desk.bench.practice.names, total=80, colour=False)
        _write(desk, to, lambda: plots.supply_picture(found), words, force=force)
    elif not found:
        typer.echo("There is no stock. `stillroom press` makes some.", err=True)
    else:
        names, total = desk.bench.practice.names, desk.columns
        echo_lines(supply.lines(found, names, total=total, colour=desk.colour), desk.colour)
    damaged(desk)


@app.command()
def pressings(
    context: typer.Context,
    on: On = None,
    to: To = None,
    force: Force = False,
    as_json: AsJson = False,
) -> None:
    """What pressing gave, by method and by fresh or dried herb."""
    from tracker.outputs.pictures import pressing_shares as given

    desk = Desk(context.obj)
    day = desk.day(on)
    today = day or desk.bench.today()
    found = given.pressings(_views(desk, desk.bench.jars(on=day), today), today)
    if as_json:
        desk_json(given.pressing_answers(found))
    elif to is not None:
        from tracker.outputs.pictures import plots

        words = given.lines(found, total=80, colour=False)
        _write(desk, to, lambda: plots.pressings_picture(found), words, force=force)
    elif not found:
        typer.echo("Nothing was pressed yet. `stillroom press` does.", err=True)
    else:
        echo_lines(given.lines(found, total=desk.columns, colour=desk.colour), desk.colour)
    damaged(desk)


def _views(desk: Desk, batches: Iterable[Batch], today: date) -> list[ThingView]:
    return [view_of(whole(one), desk.bench.practice, today) for one in batches]


def _write(
    desk: Desk, to: Path, draw: "Callable[[], Picture]", words: Sequence[str], *, force: bool
) -> None:
    """The picture as SVG, or as a page with the same in words below it, by the file's name."""
    kind = to.suffix.lower()
    if kind not in (".svg", ".html", ".htm"):
        raise MisusedError(
            f"What a file named {to.name!r} should hold is not clear.",
            where="--to",
            do="name it so that it ends in .svg or .html.",
        )
    found = draw()
    if kind == ".svg":
        write_named(to, found.svg, force=force)
    else:
        from tracker.outputs.page.render import picture_page
        from tracker.outputs.words.not_whole import incomplete

        heed = incomplete(missing_of(desk.bench.damages()))
        write_named(to, picture_page(found, [heed, *words] if heed else words), force=force)
    typer.echo(shown(f"Wrote {to}: {found.title}."), err=True)
