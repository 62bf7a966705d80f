"""Whether the book is whole: `check`."""

from collections.abc import Iterable
from typing import Annotated

import typer

from tracker.cli.broken_practice import say_broken_practice
from tracker.cli.desk import AsJson, Desk
from tracker.cli.printing import echo_json, echo_lines
from tracker.cli.verbs.keeping.book_kept import book_fields, book_rows
from tracker.cli.verbs.keeping.damages_said import damage_fields, say_damages
from tracker.core.shelf.flag import Flag
from tracker.core.values.text import shown
from tracker.daemon.clock_doubt import clock_doubt
from tracker.daemon.told import MARKS, read_told
from tracker.journal.book_digest import Verdict, compare, proof_of
from tracker.journal.check import Report
from tracker.journal.check import check as check_book
from tracker.outputs.terminal.named_rows import named_rows
from tracker.outputs.words.flags import flag_text

app = typer.Typer(rich_markup_mode=None)

_VERDICTS: dict[Verdict, str] = {
    "same": "The book is exactly as it was when that digest was printed.",
    "grown": "The book has grown since, and still contains all that it held then.",
    "other": "The book is NOT the one that digest was printed of: something is "
    "gone or changed, or the digest was copied wrongly.",
}


@app.command()
def check(
    context: typer.Context,
    digest: Annotated[
        bool, typer.Option("--digest", help="Print a short digest of the whole book.")
    ] = False,
    against: Annotated[
        str | None,
        typer.Option(metavar="TEXT", help="Compare with a digest printed earlier."),
    ] = None,
    accept: Annotated[
        bool,
        typer.Option("--accept", help="Stop reporting what is gone from the ends of files."),
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Whether every line of the book is as it was written.

    Also whether what the lines say fits together.
    """
    desk = Desk(context.obj)
    report = _report(desk, accept=accept)
    unplaced, questions = desk.bench.unplaced(), desk.bench.questions()
    verdict = None if against is None else compare(desk.bench.book, report.files, against)
    if as_json:
        answer = _answer(report, unplaced, questions) | book_fields(desk.bench)
        echo_json(answer if verdict is None else answer | {"against": verdict})
    elif digest and against is None:
        say_damages(report.damages, err=True)
        typer.echo(proof_of(report.files))
    else:
        writers = sum(one.lines > 0 for one in report.files)
        rows = book_rows(desk.bench, report.lines, writers)
        echo_lines(list(named_rows(rows, desk.columns)), desk.colour)
        say_damages(report.damages)
        _say_flags([*unplaced, *questions, *report.early, *report.unknown])
        if doubt := clock_doubt(read_told(desk.bench.state / MARKS), desk.bench.today()):
            typer.echo(f"clock: {doubt}")
        if verdict is not None:
            typer.echo(_VERDICTS[verdict])
        elif report.is_whole:
            typer.echo("The book is whole: every line is as it was written.")
    if not report.is_whole or verdict == "other":
        raise typer.Exit(1)


def _report(desk: Desk, *, accept: bool) -> Report:
    bench = desk.bench
    bench.must_exist()
    say_broken_practice(desk)
    if accept:
        bench.accept()
    gone = [damage for damage in bench.damages() if damage.gone]
    return check_book(bench.book, gone, bench.now())


def _say_flags(flags: Iterable[Flag]) -> None:
    for flag in flags:
        typer.echo(f"event {shown(flag.event)}: {shown(flag_text(flag))}")


def _answer(report: Report, unplaced: list[Flag], questions: list[Flag]) -> dict[str, object]:
    return {
        "whole": report.is_whole,
        "files": len(report.files),
        "lines": report.lines,
        "digest": proof_of(report.files),
        "damages": [damage_fields(one) for one in report.damages if one.counts],
        "pending": [damage_fields(one) for one in report.damages if one.pending],
        "tolerated": [damage_fields(one) for one in report.damages if one.harmless],
        "unplaced": [_flag(one) for one in unplaced],
        "questions": [_flag(one) for one in questions],
        "early": [_flag(one) for one in report.early],
        "unknown": [_flag(one) for one in report.unknown],
    }


def _flag(one: Flag) -> dict[str, object]:
    return {"event": one.event, "why": flag_text(one)}
