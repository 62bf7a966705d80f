"""A page of many jars on paper: `handout`."""

from pathlib import Path
from typing import Annotated

import typer

from tracker.cli.damaged_book import damaged, missing_of
from tracker.cli.desk import AsJson, Desk, On
from tracker.cli.given.code_asked import code_asked
from tracker.cli.named_file import Force, write_named, wrote
from tracker.cli.options import Codes
from tracker.cli.print_anyway import print_anyway
from tracker.cli.printing import echo_json
from tracker.core.shelf.thing import Thing
from tracker.core.values.text import shown

app = typer.Typer(rich_markup_mode=None)

To = Annotated[
    Path | None,
    typer.Option("--to", help="The PDF to write; else handout.pdf, with a number if taken."),
]


@app.command()
def handout(
    context: typer.Context,
    codes: Codes = None,
    to: To = None,
    force: Force = False,
    title: Annotated[str, typer.Option(help="What stands at its head.")] = "Jars",
    on: On = None,
    as_json: AsJson = False,
) -> None:
    """Many jars in one table, with the next date of each.

    Without codes, the jars on the herb.
    """
    from tracker.outputs.paper.handout_rows import row
    from tracker.outputs.paper.handouts import handout as handout_pdf
    from tracker.outputs.paper.paper_size import lying_page_mm, sheet_of

    desk = Desk(context.obj, as_json=as_json)
    bench = desk.bench
    day = desk.day(on)
    today, practice = day or bench.today(), bench.practice
    if codes:
        found = [bench.find(code_asked(desk, code, day), day) for code in codes]
    else:
        jars = bench.jars(live_only=True, on=day)
        found = [Thing(jar.code, jar) for jar in jars if jar.is_macerating]
    page = lying_page_mm(sheet_of(practice))
    not_held = bench.not_held()
    rows = [row(thing, practice, today, not_held) for thing in found]
    is_whole = not missing_of(bench.damages())
    made = handout_pdf(rows, bench.now(), day=today, title=title, page_mm=page, is_whole=is_whole)
    warnings = print_anyway(desk, made.missing)
    for warning in warnings:
        typer.echo(f"Caution: {shown(warning)}.", err=True)
    file = write_named(to, made.pdf, else_named="handout.pdf", force=force)
    if as_json:
        things = [one.code for one in found]
        echo_json({"file": str(file), "pages": made.pages, "things": things, "flags": warnings})
    else:
        count = f"{len(rows)} jar{'s' * (len(rows) != 1)}"
        typer.echo(wrote(file, count, made.pages), err=True)
    damaged(desk)
