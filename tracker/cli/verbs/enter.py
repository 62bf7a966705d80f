"""`enter`: a page of lines in one go, all of them or none."""

import sys
from collections import Counter
from collections.abc import Sequence
from typing import Annotated, cast

import typer

from tracker.bench.bench import Bench, Draft
from tracker.cli.desk import AsJson, Desk, desk_json
from tracker.cli.lines import Line, read_page
from tracker.cli.rehearsal import Answer, Beside, rehearsed, say
from tracker.cli.sheet import DryRun, When_, Who
from tracker.core.values.text import shown
from tracker.core.values.times import parse_when
from tracker.journal.file_marks import Mark, marks

app = typer.Typer(rich_markup_mode=None)


@app.command()
def enter(
    context: typer.Context,
    file: Annotated[
        str | None, typer.Argument(help="A file of lines, or - for standard input.")
    ] = None,
    when: When_ = None,
    by: Who = None,
    yes: Annotated[bool, typer.Option("--yes", help="Record it without asking.")] = False,
    as_json: AsJson = False,
    dry_run: DryRun = False,
) -> None:
    """Record a page of lines, each in the words of this command: all of them, or none."""
    bench: Bench = context.obj
    desk = Desk(bench, when, by, None, as_json, dry_run)
    lines = read_page(desk.need(file, "Which file", read=str.strip))
    asks = sys.stdin.isatty() and not (yes or as_json or dry_run)
    bench.check_is_book()
    if asks and lines:
        _ask_and_record(desk, context, lines)
        return
    with bench.locked():
        answers, drafts = _rehearse(desk, context, lines)
        if drafts and not dry_run:
            bench.record(drafts)
    _answer(desk, answers)


def _rehearse(
    desk: Desk, context: typer.Context, lines: Sequence[Line]
) -> tuple[list[Answer], list[Draft]]:
    """What every line would record, each after the lines before it."""
    group = cast("typer.Context", context.parent)
    bench = desk.bench
    with rehearsed(bench) as rehearsal:
        day = desk.when
        when = parse_when(day, rehearsal.now(), bench.practice.hemisphere) if day else None
        beside = Beside(when, day, desk.by)
        answers = [say(line, rehearsal, group, beside) for line in lines]
        return answers, rehearsal.drafts


def _ask_and_record(desk: Desk, context: typer.Context, lines: Sequence[Line]) -> None:
    """Show what the page says, and record it if the person says so.

    The book is free while the question stands; if it changed meanwhile, the page is read to
    it anew.
    """
    bench = desk.bench
    while True:
        with bench.locked():
            answers, drafts = _rehearse(desk, context, lines)
            before = marks(bench.book)
        _show(answers, "Would record, ")
        if not drafts:
            typer.echo("Nothing to record.", err=True)
            return
        if not typer.confirm(f"Record {_sum(answers)}", default=False, err=True):
            typer.echo("Nothing was recorded.", err=True)
            raise typer.Exit(1)
        if _recorded(bench, drafts, before):
            typer.echo(f"Recorded {_sum(answers)}.", err=True)
            return
        typer.echo("The book changed meanwhile. This is what the page says now:", err=True)


def _recorded(bench: Bench, drafts: Sequence[Draft], before: dict[str, Mark]) -> bool:
    """Record them into the book they were checked against; False where it has changed."""
    with bench.locked():
        if marks(bench.book) != before:
            return False
        bench.record(drafts)
        return True


def _answer(desk: Desk, answers: Sequence[Answer]) -> None:
    if desk.as_json:
        _say_remarks(answers)
        desk_json(
            {
                "recorded": [
                    {"id": event.id, "kind": event.kind, "code": event.code, "line": number}
                    for number, said in ((one.line.number, one.said) for one in answers)
                    for event in said.recorded
                ],
                "dry_run": desk.dry_run,
                "flags": list(dict.fromkeys(why for one in answers for why in one.said.flags)),
                "said": [text for one in answers for text in one.said.said],
            }
        )
        return
    _show(answers, "Would record, " if desk.dry_run else "")
    if not any(one.said.recorded for one in answers):
        typer.echo("Nothing to record.", err=True)
    else:
        done = "Would record" if desk.dry_run else "Recorded"
        typer.echo(f"{done} {_sum(answers)}.", err=True)


def _show(answers: Sequence[Answer], prefix: str) -> None:
    """What each line records, in the words of its verb."""
    for one in answers:
        for text in one.said.said:
            typer.echo(f"{prefix}line {one.line.number}: {shown(text)}")
    _say_remarks(answers)


def _say_remarks(answers: Sequence[Answer]) -> None:
    """What the verbs said beside it, each remark once: twelve jars have one caution."""
    lines: dict[str, list[int]] = {}
    for one in answers:
        for remark in one.remarks:
            lines.setdefault(remark, []).append(one.line.number)
    for remark, numbers in lines.items():
        more = f" and {len(numbers) - 1} more" if len(numbers) > 1 else ""
        typer.echo(f"Line {numbers[0]}{more}: {remark}", err=True)


def _sum(answers: Sequence[Answer]) -> str:
    """How many events of how many lines."""
    kinds = Counter(event.kind for one in answers for event in one.said.recorded)
    events = f"{kinds.total()} event{'' if kinds.total() == 1 else 's'}"
    of = f"{len(answers)} line{'' if len(answers) == 1 else 's'}"
    named = ", ".join(f"{count} {kind.replace('_', ' ')}" for kind, count in kinds.items())
    return f"{events} from {of}: {named}"
