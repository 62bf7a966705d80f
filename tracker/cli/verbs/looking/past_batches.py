"""What the maker's own book teaches: `yields`, `batches`."""

from collections.abc import Callable
from datetime import date
from operator import attrgetter
from pathlib import Path
from typing import Annotated

import typer

from tracker.cli.damaged_book import damaged
from tracker.cli.desk import AsCsv, AsJson, Desk, On
from tracker.cli.named_file import Force
from tracker.cli.printing import echo_csv, echo_json, echo_lines
from tracker.cli.verbs.looking.picture_file import To, views_of, write_picture
from tracker.core.reckoning import past_yields as own
from tracker.core.replay.in_force import settle
from tracker.core.shelf.jar import Jar
from tracker.core.values.errors import MisusedError, UnknownCodeError
from tracker.core.values.near_names import near_names
from tracker.core.values.times import When
from tracker.outputs.terminal import earlier_jars

app = typer.Typer(rich_markup_mode=None)

HerbOrNone = Annotated[str | None, typer.Argument(help="One herb; all without it.")]
Herb = Annotated[str, typer.Argument(help="The herb: calendula, marigold, CAOF.")]
ByMethod = Annotated[
    bool,
    typer.Option("--by-method", help="What pressing gave, drawn by method and form of herb."),
]
Last = Annotated[int, typer.Option("--last", min=1, max=50, help="How many, the newest first.")]


@app.command()
def yields(
    context: typer.Context,
    herb: HerbOrNone = None,
    by_method: ByMethod = False,
    on: On = None,
    to: To = None,
    force: Force = False,
    as_json: AsJson = False,
    as_csv: AsCsv = False,
) -> None:
    """What your own jars gave, herb by herb.

    How much marc, filter and lees kept, and how long it took.
    """
    desk = Desk(context.obj)
    today = desk.day(on) or desk.bench.today()
    every = desk.bench.jars(on=desk.day(on))
    jars = every if herb is None else _of_herb(every, herb)
    if by_method or to is not None:
        if as_csv:
            raise MisusedError(
                "What pressing gave by method is a picture, and no table.",
                where="--csv",
                do="leave out --csv, or ask for --json.",
            )
        _by_method(desk, jars, today, to, force=force, as_json=as_json)
        damaged(desk)
        return
    lines = own.yields(jars, today)
    if as_json:
        echo_json(earlier_jars.yields_answers(lines))
    elif as_csv:
        echo_csv(earlier_jars.yields_rows(lines))
    elif not lines:
        _say_none(jars)
    else:
        names, total = desk.bench.practice.names, desk.columns
        echo_lines(earlier_jars.yields(lines, names, total=total, colour=desk.colour), desk.colour)
    damaged(desk)


def _by_method(
    desk: Desk, jars: list[Jar], today: date, to: Path | None, *, force: bool, as_json: bool
) -> None:
    """What pressing gave, by method and by fresh or dried herb."""
    from tracker.outputs.pictures.pressing import pressing_shares

    found = pressing_shares.pressings(views_of(desk, jars, today), today)
    if as_json:
        echo_json(pressing_shares.pressing_answers(found))
    elif to is not None:
        from tracker.outputs.pictures.pressing.pressing_drawing import pressings_picture

        again = [jar.code for jar in own.steeping_again(jars)]
        words = pressing_shares.lines(found, total=80, colour=False)
        write_picture(
            desk, to, lambda heed: pressings_picture(found, again, heed=heed), words, force=force
        )
    elif not found:
        _say_none(jars)
    else:
        lines = pressing_shares.lines(found, total=desk.columns, colour=desk.colour)
        echo_lines(lines, desk.colour)


def _say_none(jars: list[Jar]) -> None:
    """Why there is no pressing to show, and what records one."""
    from tracker.outputs.pictures.pressing.pressing_shares import none_counts

    said = none_counts([jar.code for jar in own.steeping_again(jars)])
    typer.echo(f"{said} `stillroom press` records a pressing.", err=True)


@app.command()
def batches(
    context: typer.Context,
    herb: Herb,
    last: Last = 4,
    on: On = None,
    as_json: AsJson = False,
    as_csv: AsCsv = False,
) -> None:
    """How a herb was done before: its last batches side by side."""
    desk = Desk(context.obj)
    today, practice = desk.day(on) or desk.bench.today(), desk.bench.practice
    found = _of_herb(desk.bench.jars(on=desk.day(on)), herb)
    jars = own.batches(found, lambda _: True)[:last]
    if not jars and not (as_json or as_csv):
        typer.echo("Each of its jars was split or joined: ask for those it became.", err=True)
        damaged(desk)
        return
    lots = {lot.id: lot for lot in desk.bench.lots()}
    said = attrgetter("iso") if as_json or as_csv else desk.bench.present.said
    notes = {jar.id: _notes(desk, jar, today, said) for jar in jars}
    if as_json or as_csv:
        answers = earlier_jars.batches_answers(jars, notes, lots, practice, today)
        echo_json(answers) if as_json else echo_csv(answers)
    else:
        echo_lines(
            earlier_jars.batches(
                jars, notes, lots, practice, today, total=desk.columns, colour=desk.colour
            ),
            desk.colour,
        )
    damaged(desk)


def _of_herb(jars: list[Jar], herb: str) -> list[Jar]:
    is_it = own.goes_by(herb)
    found = [jar for jar in jars if is_it(jar)]
    if not found:
        every = {name for jar in jars for name in (jar.herb, jar.common) if name}
        raise UnknownCodeError(herb, near_names(herb, every), list_verb="yields")
    return found


def _notes(desk: Desk, jar: Jar, today: date, said: Callable[[When], str]) -> list[str]:
    """What was noted about a jar by that day, beside whatever else was recorded."""
    told = settle(desk.bench.entries_of(jar.id)).entries
    return [
        f"{said(one.when)} {one.fact.note}"
        for one in told
        if one.fact.note and one.when.earliest <= today
    ]
