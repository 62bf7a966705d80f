"""What every verb shares: the book at hand, what was said beside it, and how it answers."""

import os
import sys
from collections.abc import Callable, Iterable, Sequence
from contextlib import AbstractContextManager
from datetime import date
from typing import TYPE_CHECKING, Annotated, TypeVar

import msgspec
import typer

from tracker.bench.bench import Bench
from tracker.core.values.errors import MisusedError, TrackerError
from tracker.core.values.text import shown

if TYPE_CHECKING:
    from tracker.cli.sheet import Page, Sheet

T = TypeVar("T")

AsJson = Annotated[bool, typer.Option("--json", help="Answer as JSON.")]
AsCsv = Annotated[bool, typer.Option("--csv", help="Answer as CSV.")]
On = Annotated[str | None, typer.Option("--on", help="As if it were that day: 2025-03-03.")]


class Desk(msgspec.Struct):
    """The bench, and the options said beside a verb."""

    bench: Bench
    when: str | None = None
    by: str | None = None
    note: str | None = None
    as_json: bool = False
    dry_run: bool = False
    sure: bool = False
    page: "Page | None" = None  # where this is a line of one, nothing is asked or printed
    answers: dict[str, str] = msgspec.field(default_factory=dict)

    @property
    def colour(self) -> bool:
        """Whether the screen takes colour and nobody asked for none (no-color.org)."""
        return sys.stdout.isatty() and not os.environ.get("NO_COLOR")

    @property
    def columns(self) -> int:
        """Cells across the screen; 80 where there is none."""
        if not sys.stdout.isatty():
            return 80
        return os.get_terminal_size(sys.stdout.fileno()).columns

    def day(self, text: str | None) -> date | None:
        """The day `--on` names, or None where it was not said."""
        if text is None:
            return None
        from tracker.core.values.times import parse_when

        return parse_when(text, self.bench.now(), self.bench.practice.hemisphere).earliest

    def need(self, said: T | None, question: str, *, read: Callable[[str], T]) -> T:
        """What was said, or the answer to a question where a person sits at a terminal.

        Raises:
            MisusedError: it was not said, and there is nobody to ask.
        """
        if said is not None:
            return said
        if question in self.answers:
            return read(self.answers[question])
        if self.page is not None or not sys.stdin.isatty():
            raise MisusedError(
                f"{question}?",
                where="the command line: it was not said, and nobody is there to ask",
                do="say it as an argument; --help names them.",
            )
        while True:
            text = typer.prompt(question, err=True)
            try:
                found = read(text)
                self.answers[question] = text
                return found
            except TrackerError as reason:
                typer.echo(f"{reason.what} {reason.do}", err=True)

    def recording(self) -> "AbstractContextManager[Sheet]":
        """Gather facts under the lock; write them, all or none, when the block ends well."""
        from tracker.cli.sheet import gathered

        return gathered(self)


def desk_json(answer: object) -> None:
    """Print an answer as JSON."""
    typer.echo(msgspec.json.format(msgspec.json.encode(answer), indent=2).decode())


def echo_csv(answers: Iterable[dict[str, object]]) -> None:
    """Print answers as CSV, with text that a spreadsheet would run as a formula disarmed."""
    import csv

    rows = list(answers)
    if not rows:
        return
    names = [name for name, value in rows[0].items() if not isinstance(value, list)]
    writer = csv.writer(sys.stdout, lineterminator="\n")
    writer.writerow(names)
    writer.writerows([[_csv_cell(row[name]) for name in names] for row in rows])


def _csv_cell(value: object) -> object:
    if isinstance(value, dict):
        return "/".join("" if part is None else str(part) for part in value.values())
    if isinstance(value, str):
        text = shown(value)
        return f"'{text}" if text.lstrip().startswith(("=", "+", "-", "@", "\t", "\r")) else text
    return value


def echo_lines(lines: Sequence[str], colour: bool) -> None:
    """Print lines that are already safe and styled."""
    typer.echo("\n".join(lines), color=colour)
