"""Whether the book is whole, and copies of it: `check` and `backup`."""

from collections.abc import Iterable
from dataclasses import asdict
from pathlib import Path
from typing import Annotated

import typer

from tracker.cli.broken_practice import say_broken_practice
from tracker.cli.desk import AsJson, Desk, desk_json
from tracker.core.shelf.flag import Flag
from tracker.core.values.errors import MisusedError
from tracker.core.values.text import shown
from tracker.daemon.clock_doubt import clock_doubt
from tracker.daemon.told import MARKS, read_told
from tracker.journal import backup as copies
from tracker.journal.book_digest import Verdict, compare, proof_of
from tracker.journal.check import Report
from tracker.journal.check import check as check_book
from tracker.journal.file_marks import Damage, DamageKind
from tracker.outputs.words.flags import flag_text

app = typer.Typer(rich_markup_mode=None)

_VERDICTS: dict[Verdict, str] = {
    "same": "The book is the very one that digest was taken of.",
    "grown": "The book has grown since, and still contains all that it held then.",
    "other": "The book is NOT the one that digest was taken of, grown or not: something is "
    "gone or changed, or the digest was copied wrongly.",
}

# What can be done about damage of a kind at once.
_TO_DO: dict[DamageKind, str] = {
    "gone": "bring the file back from a backup; or say `stillroom check --accept`",
    "unreadable": "make sure that the disk is sound and that you may read the file, and ask again",
}

Folder = Annotated[Path, typer.Argument(metavar="DIR", help="Where the copy is, or goes.")]


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
        answer = _answer(report, unplaced, questions)
        desk_json(answer if verdict is None else answer | {"against": verdict})
    elif digest and against is None:
        _say_damages(report.damages, err=True)
        typer.echo(proof_of(report.files))
    else:
        _say_damages(report.damages)
        _say_flags([*unplaced, *questions, *report.early, *report.unknown])
        if doubt := clock_doubt(read_told(desk.bench.state / MARKS), desk.bench.today()):
            typer.echo(f"clock: {doubt}")
        if verdict is not None:
            typer.echo(_VERDICTS[verdict])
        elif report.is_whole:
            typer.echo(_all_well(report))
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


def _all_well(report: Report) -> str:
    lines = "1 line" if report.lines == 1 else f"{report.lines} lines"
    files = "1 file" if len(report.files) == 1 else f"{len(report.files)} files"
    return f"The book is whole: every line is as it was written, {lines} in {files}."


def _say_damages(damages: Iterable[Damage], *, err: bool = False) -> None:
    for one in damages:
        line = f", line {one.line}, byte {one.byte}" if one.line else ""
        typer.echo(f"{shown(one.file)}{line}: {shown(one.why)}", err=err)
        if one.kind in _TO_DO:
            typer.echo(f"  to do: {_TO_DO[one.kind]}.", err=err)


def _say_flags(flags: Iterable[Flag]) -> None:
    for flag in flags:
        typer.echo(f"event {shown(flag.event)}: {shown(flag_text(flag))}")


def _answer(report: Report, unplaced: list[Flag], questions: list[Flag]) -> dict[str, object]:
    return {
        "whole": report.is_whole,
        "files": len(report.files),
        "lines": report.lines,
        "digest": proof_of(report.files),
        "damages": [_damage(one) for one in report.damages if one.counts],
        "pending": [_damage(one) for one in report.damages if one.pending],
        "tolerated": [_damage(one) for one in report.damages if one.harmless],
        "unplaced": [_flag(one) for one in unplaced],
        "questions": [_flag(one) for one in questions],
        "early": [_flag(one) for one in report.early],
        "unknown": [_flag(one) for one in report.unknown],
    }


def _damage(one: Damage) -> dict[str, object]:
    return {
        "file": one.file,
        "line": one.line or None,  # the whole file is meant
        "byte": one.byte,
        "kind": one.kind,
        "why": one.why,
    }


def _flag(one: Flag) -> dict[str, object]:
    return {"event": one.event, "why": flag_text(one)}


@app.command()
def backup(
    context: typer.Context,
    folder: Folder,
    verify: Annotated[
        bool, typer.Option("--verify", help="Copy nothing; compare an earlier copy.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Make a verified copy of the book, or bring one up to date."""
    desk = Desk(context.obj)
    desk.bench.must_exist()
    say_broken_practice(desk)
    if verify and not (folder / "events").is_dir():
        raise MisusedError(
            "There is no copy of a book there.",
            where=str(folder),
            do="leave --verify out to make one.",
        )
    if not verify:
        with desk.bench.locked():
            copies.back_up(desk.bench.book, folder)
    left = [] if verify else copies.left_out(desk.bench.book)
    damages = [*copies.damages_of(folder), *left]
    files = copies.compare(desk.bench.book, folder)
    contained = not any(one.only_copy for one in files)
    if as_json:
        desk_json(
            {
                "folder": str(folder),
                "whole": not damages,
                "contained": contained,
                "files": [asdict(one) for one in files],
                "damages": [_damage(one) for one in damages],
            }
        )
    else:
        _say_damages(damages)
        _say_compared(files, folder, is_new=not verify)
    if damages or not contained:
        raise typer.Exit(1)


def _say_compared(files: list[copies.Compared], folder: Path, *, is_new: bool) -> None:
    for one in files:
        name = shown(one.file)
        if one.only_copy:
            typer.echo(
                f"{name}: {_lines(one.only_copy)} of the copy NOT in the book; removed or "
                "changed there since."
            )
        if one.only_book:
            typer.echo(f"{name}: {_lines(one.only_book)} in the book alone.")
    total = _lines(sum(one.lines for one in files))
    if is_new:
        typer.echo(f"Copied and read back: {total} to {shown(str(folder))}.")
    elif not any(one.only_copy for one in files):
        typer.echo(f"The book contains all of the copy, {total}.")


def _lines(count: int) -> str:
    return "1 line" if count == 1 else f"{count} lines"
