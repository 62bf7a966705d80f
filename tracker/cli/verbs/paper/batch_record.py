"""The batch record: `record`."""

import re
from collections.abc import Sequence
from datetime import tzinfo
from pathlib import Path
from typing import Annotated

import typer

from tracker.cli.damaged_book import damaged
from tracker.cli.desk import AsJson, Desk
from tracker.cli.given.code_asked import code_asked
from tracker.cli.named_file import Force, Paper, write_paper
from tracker.cli.print_anyway import print_anyway
from tracker.cli.printing import echo_json, echo_lines
from tracker.cli.verbs.looking.histories import told_of
from tracker.core.reckoning.flows.flow_graph import graph_of
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Thing, whole
from tracker.core.values.command_words import command
from tracker.core.values.errors import MisusedError
from tracker.core.values.text import shown
from tracker.journal.book_digest import proof_of
from tracker.journal.check import check
from tracker.outputs.records.batch import batch_record as make_record
from tracker.outputs.records.batch_flows import Around, gave_elsewhere
from tracker.outputs.records.batch_parts import Book, FileDigest, Record
from tracker.outputs.terminal.show import made_up
from tracker.outputs.view.thing_view import view_of

app = typer.Typer(rich_markup_mode=None)


@app.command()
def record(
    context: typer.Context,
    code: Annotated[
        str, typer.Argument(help="A jar or blend, or an extract or bottle of its batch.")
    ],
    as_json: AsJson = False,
    pdf: Annotated[
        bool, typer.Option("--pdf", help="On paper: write a PDF with lines to sign.")
    ] = False,
    to: Annotated[
        Path | None,
        typer.Option("--to", help="The PDF to write; else CODE.pdf, with a number if taken."),
    ] = None,
    force: Force = False,
) -> None:
    """The batch record: everything the book holds of a batch.

    What was corrected stands in it as it was and as it is.
    """
    if (pdf and as_json) or ((to or force) and not pdf):
        raise MisusedError(
            "--to names a PDF, and that is written with --pdf alone.",
            where="--pdf, --to, --force and --json",
            do="add `--pdf`, with `--to FILE` if you like, or `--json`.",
        )
    desk = Desk(context.obj)
    thing, made = batch_record(desk, code)
    rows = []
    if thing is not None:
        rows = made_up(view_of(whole(thing.batch), desk.bench.practice, desk.bench.today()))
    if as_json:
        echo_json(made)
    elif pdf:
        _on_paper(desk, made, rows, to, force=force)
    else:
        from tracker.outputs.records.batch_text import text

        echo_lines(text(made, rows, _zone(desk), colour=desk.colour), desk.colour)
    damaged(desk)


def _on_paper(
    desk: Desk, made: Record, rows: Sequence[tuple[str, str]], to: Path | None, *, force: bool
) -> None:
    """Write the record as a PDF on the maker's paper."""
    from tracker.outputs.paper.paper_size import label_room_mm, sheet_of, upright_page_mm
    from tracker.outputs.paper.record_pdf import record_pdf

    sheet = sheet_of(desk.bench.practice)
    done = record_pdf(
        made,
        rows,
        _zone(desk),
        page_mm=upright_page_mm(sheet),
        label_mm=label_room_mm(sheet),
    )
    # A code no longer in force is as it was typed: a stroke in it would be a folder.
    name = re.sub(r"[^\w-]+", "-", made.code).lstrip("-") + ".pdf"
    what = f"the batch record of {made.code}"
    for warning in print_anyway(desk, done.missing):
        typer.echo(f"Caution: {shown(warning)}.", err=True)
    typer.echo(write_paper(Paper(to, name, done.pdf, what, done.pages, force)), err=True)


def _zone(desk: Desk) -> tzinfo:
    zone = desk.bench.now().tzinfo
    assert zone is not None
    return zone


def batch_record(desk: Desk, code: str) -> tuple[Thing | None, Record]:
    """What a code names now, and the record of its batch.

    Raises:
        MisusedError: the code is a lot's.
        UnknownCodeError, AmbiguousCodeError: no line names it, or it fits several things.
    """
    bench = desk.bench
    name, thing, entries = told_of(bench, code_asked(desk, code))
    if isinstance(thing, Lot):
        raise MisusedError(
            f"{name} is a lot, and no batch was made of a lot alone.",
            where=f"the code {code!r}",
            do=f"`{command('trace', name)}` names the batches it went into.",
        )
    batches, lots = bench.batches(), bench.lots()
    graph = graph_of(batches, lots)
    by_id = {one.id: one for one in batches}
    batch = None if thing is None else by_id[thing.batch.id]
    elsewhere = set() if batch is None else gave_elsewhere(graph, batch)
    around = Around(
        bench.practice,
        graph,
        by_id,
        {one.id: one for one in lots},
        tuple(bench.not_held()),
        tuple(bench.entries_about(elsewhere)),
    )
    names = bench.names_of([*entries, *around.elsewhere])
    return thing, make_record(name, batch, entries, around, _book(desk), bench.now(), names)


def _book(desk: Desk) -> Book:
    bench = desk.bench
    report = check(bench.book, [one for one in bench.damages() if one.gone], bench.now())
    return Book(
        report.is_whole,
        proof_of(report.files),
        tuple(FileDigest(one.file, one.lines, one.digest) for one in report.files if one.lines),
    )
