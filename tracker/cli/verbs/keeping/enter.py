"""`enter`: a page of lines in one go, all of them or none."""

import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Annotated, cast

import msgspec
import typer
from typer.core import TyperCommand

from tracker.bench.bench import Bench
from tracker.bench.interrupts import ignored_from_now_on, uninterrupted
from tracker.bench.last_named import remember_named
from tracker.bench.record import commit, opened
from tracker.cli.answer import Answer, kept_once_recorded
from tracker.cli.asking import decision, until_answered
from tracker.cli.damaged_book import tell_damages
from tracker.cli.desk import AsJson, Desk
from tracker.cli.given.day_headings import Day, Lines, day_of_page, under_days
from tracker.cli.given.person_given import remember_for_the_evening, who_did_it
from tracker.cli.help.mistyped import in_plain_words, no_verb
from tracker.cli.help.verb_command import UnreadLine
from tracker.cli.lines import LINE, Line, Page, read_page
from tracker.cli.named_file import write_paper
from tracker.cli.options import DryRun, Sure, When_, Who
from tracker.cli.printing import echo_json
from tracker.cli.screen import columns_of
from tracker.core.rules.verdict import AskedError
from tracker.core.values.errors import MisusedError, RefusedError
from tracker.core.values.kind_words import kind_said
from tracker.core.values.spoken_dates import day_said
from tracker.core.values.text import shown
from tracker.core.values.times import When
from tracker.journal.file_marks import marks
from tracker.outputs.terminal.wrapping import hanging

app = typer.Typer(rich_markup_mode=None)

_BESIDE = {"as_json": "--json", "dry_run": "--dry-run"}


class Said(msgspec.Struct, frozen=True):
    """A line of the page, the day it stands under, and the answer of its verb."""

    line: Line
    day: Day | None
    answer: Answer


@app.command()
def enter(
    context: typer.Context,
    file: Annotated[
        str | None, typer.Argument(help="A file of lines, or - for standard input.")
    ] = None,
    when: When_ = None,
    by: Who = None,
    yes: Annotated[bool, typer.Option("--yes", help="Record it without asking.")] = False,
    sure: Sure = False,
    as_json: AsJson = False,
    dry_run: DryRun = False,
) -> None:
    """Record a page of lines: all of them, or none.

    Each line is in the words of this command. A line that is a day alone, such as Monday 4 May,
    is the day of the lines below it, until the next one; --when is that of those above the first.
    """
    bench: Bench = context.obj
    desk = Desk(bench, when, by, None, as_json, dry_run, sure, verb="enter")
    page = read_page(desk.need(file, "Which file", read=str.strip))
    lines = under_days(desk, page, day_of_page(desk))
    desk.by, remark = who_did_it(bench, by)
    if remark:
        typer.echo(shown(remark), err=True)
    asks = sys.stdin.isatty() and not (yes or as_json or dry_run)
    record = _show_and_record if asks and lines else _record
    with kept_once_recorded(desk):
        until_answered(desk, lambda: record(desk, context, lines))
        if desk.is_recorded:
            remember_for_the_evening(bench, by)
        tell_damages(desk.damages)


def _record(desk: Desk, context: typer.Context, lines: Lines) -> None:
    with _taken(desk, context, lines) as (page, done):
        if not desk.dry_run:
            _write(desk, page)
    _answer(desk, done)


def _show_and_record(desk: Desk, context: typer.Context, lines: Lines) -> None:
    """Show what the page says, and record it if the person agrees.

    The book is free while the question stands; if it changed meanwhile, the page is taken once
    more on the book as it is then.
    """
    before = None
    while True:
        with _taken(desk, context, lines) as (page, done):
            if before is not None and marks(desk.bench.book) == before:
                _write(desk, page)
                typer.echo(f"Recorded {_sum(done)}.", err=True)
                return
            if before is not None:
                typer.echo("The book changed meanwhile. Now the page would record:", err=True)
            before = marks(desk.bench.book)
        _show(done, is_preview=True)
        if not any(one.answer.kinds() for one in done):
            typer.echo("Nothing to record.", err=True)
            return
        if decision(f"Record {_sum(done)}?", usual="no") != "yes":
            typer.echo("Nothing was recorded.", err=True)
            raise typer.Exit(1)


@contextmanager
def _taken(desk: Desk, context: typer.Context, lines: Lines) -> Iterator[tuple[Page, list[Said]]]:
    """Every line given to the open book, each after the lines before it."""
    group = cast("typer.Context", context.parent)
    with opened(desk.bench) as book:
        page = Page(desk.bench, book, desk.sure, desk.as_json, desk.answered)
        desk.damages = book.damages
        verbs = _Verbs(group)
        try:
            done = [_take(line, day, page, verbs, desk) for line, day in lines]
        except (AskedError, RefusedError) as refused:
            # What is refused may be so because of what was asked about before it.
            if page.open:
                raise AskedError(tuple(page.open)) from refused
            raise
        if page.open:
            raise AskedError(tuple(page.open))
        yield page, done


def _write(desk: Desk, page: Page) -> None:
    for paper in page.papers:
        typer.echo(write_paper(paper), err=True)
    with uninterrupted():
        commit(page.bench, page.book)
        desk.is_recorded = True
        remember_named(page.bench.state, page.named)
        ignored_from_now_on()
    for remark in page.bench.remarks:
        typer.echo(shown(remark), err=True)
    page.bench.remarks.clear()


def _take(line: Line, day: Day | None, page: Page, verbs: "_Verbs", desk: Desk) -> Said:
    """Give a line to the verb it names.

    Raises:
        TrackerError: what the verb would refuse, or no verb for a page; it names the line.
    """
    page.line = line.number
    with line.named():
        verb, *words = line.words() or [""]
        _run(verbs[verb], verb, words, page, desk, day)
    return Said(line, day, page.answers[-1])


class _Verbs(dict[str, TyperCommand]):
    """The recording verbs of a page, each made once: that takes longer than to record with it."""

    def __init__(self, group: typer.Context) -> None:
        super().__init__()
        self._group = group

    def __missing__(self, verb: str) -> TyperCommand:
        self[verb] = command = _verb(verb, self._group)
        return command


def _verb(verb: str, group: typer.Context) -> TyperCommand:
    """The recording verb of that name."""
    parent = group.command
    assert isinstance(parent, typer.core.TyperGroup)
    if verb.startswith("-"):
        raise MisusedError(
            f"{verb} stands where a verb should.",
            where=LINE,
            do="begin the line with the verb; give --book before `enter`.",
        )
    command = parent.get_command(group, verb)
    if command is None:
        unknown = no_verb(verb)
        raise MisusedError(unknown.what, where=LINE, do=unknown.do)
    if not isinstance(command, TyperCommand) or not hasattr(command.callback, "records"):
        raise MisusedError(
            f"`{verb}` records nothing on the shelf, and a page takes only what does.",
            where=LINE,
            do="take the line out, and run it by itself.",
        )
    return command


def _run(
    command: TyperCommand, verb: str, words: list[str], page: Page, desk: Desk, day: Day | None
) -> None:
    if not {"--help", "-h"}.isdisjoint(words):  # printed by click itself, on standard output
        raise MisusedError(
            "That asks for help, and records nothing.",
            where=LINE,
            do="take it out of the page, and run it by itself.",
        )
    try:
        context = command.make_context(verb, words, obj=page)
        given = context.params
        for name, option in _BESIDE.items():
            if given[name]:
                raise MisusedError(
                    f"{option} means nothing inside a page.",
                    where=LINE,
                    do=f"give it to `enter`: stillroom enter FILE {option}.",
                )
        given["when"] = _when(given["when"], day)
        given["by"] = given["by"] or desk.by
        with context:
            command.invoke(context)
    except UnreadLine as reason:
        unread = in_plain_words(reason)
        do = f"`stillroom {verb} --help` lists what it takes."
        raise MisusedError(unread.what, where=LINE, do=unread.hint + do) from reason


def _when(own: str | None, day: Day | None) -> str | None:
    """The line's own day, else the one it stands under; a time alone is one of that day."""
    if own is None or day is None:
        return own or (day and day.given)
    is_time = own.replace(":", "").isdecimal() and ":" in own
    if is_time and day.when.precision == "day":
        return f"{day.when.earliest} {own}"
    return own


def _answer(desk: Desk, done: Sequence[Said]) -> None:
    if desk.as_json:
        _show_beside(done)
        echo_json(
            {
                "recorded": [
                    {"id": one.id, "kind": one.kind, "code": one.subject, "line": said.line.number}
                    for said in done
                    for one in said.answer.recorded.entries
                ],
                "dry_run": desk.dry_run,
                "flags": list(dict.fromkeys(why for one in done for why in one.answer.warnings)),
                "said": [text for one in done for text in one.answer.lines],
            }
        )
        return
    _show(done, is_preview=desk.dry_run)
    if not any(one.answer.kinds() for one in done):
        typer.echo("Nothing to record.", err=True)
    else:
        typer.echo(f"{'Would record' if desk.dry_run else 'Recorded'} {_sum(done)}.", err=True)


def _show(done: Sequence[Said], *, is_preview: bool) -> None:
    """What each line records, in the words of its verb; a day that stands above it, once."""
    if is_preview and any(one.answer.kinds() for one in done):
        typer.echo("Would record:")
    cells = max((len(str(one.line.number)) for one in done), default=0)
    day = None
    for one in done:
        if one.day != day and one.day is not None and one.day.is_heading:
            typer.echo(_heading(one.day.when))
        day = one.day
        for text in _row(one, cells):
            typer.echo(text)
    _show_beside(done)


def _row(one: Said, cells: int) -> Iterator[str]:
    """What one line of the page records, its number at the left."""
    number = f"{one.line.number:>{cells + 2}}"
    room = columns_of(sys.stdout)
    for line in one.answer.lines:
        text = line.lstrip(" ")
        head = f"{number}  {line[: len(line) - len(text)]}"
        yield from (head + text,) if room is None else hanging(head, text, room)
        number = " " * len(number)


def _heading(when: When) -> str:
    return day_said(when.earliest) if when.is_exact else str(when)


def _show_beside(done: Sequence[Said]) -> None:
    """Warnings and remarks, each once: twelve jars have one caution."""
    lines: dict[str, list[int]] = {}
    for one in done:
        for remark in one.answer.beside:
            lines.setdefault(remark, []).append(one.line.number)
    for remark, numbers in lines.items():
        more = f" and {len(numbers) - 1} more" if len(numbers) > 1 else ""
        typer.echo(f"Line {numbers[0]}{more}: {remark}", err=True)


def _sum(done: Sequence[Said]) -> str:
    """How many events of how many lines."""
    done_so = Counter(kind_said(kind) for one in done for kind in one.answer.kinds())
    events = f"{done_so.total()} event{'' if done_so.total() == 1 else 's'}"
    of = f"{len(done)} line{'' if len(done) == 1 else 's'}"
    named = ", ".join(f"{count} {said}" for said, count in done_so.items())
    return f"{events} from {of}: {named}"
