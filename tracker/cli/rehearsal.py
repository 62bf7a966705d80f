"""Lines of a page said one after another to a book that is only tried out.

Each line is given to the very verb it names, and the verb sees the book as the lines before
would leave it: so every recording verb works in a page without knowing of pages.
"""

import io
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, redirect_stderr, redirect_stdout
from dataclasses import dataclass
from typing import TYPE_CHECKING, cast

import msgspec
import typer
from typer.core import TyperCommand

from tracker.bench.bench import Bench, Draft
from tracker.cli.lines import LINE, Line
from tracker.core.values.errors import MisusedError
from tracker.core.values.near_names import near_names
from tracker.core.values.times import When
from tracker.journal.trial import Trial, tried

if TYPE_CHECKING:
    from tracker.core.facts.entry import Entry
    from tracker.journal.file_marks import Place

# What click raises for words it cannot take; typer names no public base of these.
_USAGE = cast("type[typer.BadParameter]", typer.BadParameter.__mro__[2])
_BESIDE = {"as_json": "--json", "dry_run": "--dry-run"}


class Recorded(msgspec.Struct, frozen=True):
    """One event, as a recording verb answers with it."""

    id: str
    kind: str
    code: str


class Said(msgspec.Struct, frozen=True):
    """What a recording verb answers as JSON."""

    recorded: list[Recorded]
    flags: list[str]
    said: list[str]


@dataclass(frozen=True, slots=True)
class Answer:
    """What one line would record, and the remarks its verb made beside it."""

    line: Line
    said: Said
    remarks: list[str]


@dataclass(frozen=True, slots=True)
class Beside:
    """What was said beside `enter` for every line that does not say it itself."""

    when: When | None = None
    when_said: str | None = None
    by: str | None = None


class Rehearsal(Bench):
    """A bench whose recording is only tried out; it keeps the drafts for the real one."""

    def __init__(self, bench: Bench, trial: Trial) -> None:
        now = bench.now()
        own = {"practice": bench.practice, "writer": bench.writer}
        self.__dict__.update(bench.__dict__ | own)
        self.book, self.model, self._trial = trial.book, trial.model, trial
        self._read_clock = lambda: now  # one page, one moment: its order is that of its lines
        self.drafts: list[Draft] = []
        self.verbs: dict[str, TyperCommand] = {}

    @contextmanager
    def locked(self) -> Iterator[None]:
        """Nothing to lock: whoever rehearses holds the lock of the book."""
        yield

    def entries_at(self, places: "Sequence[Place]") -> "list[Entry]":
        """The entries that stand at these places of the book, each read once."""
        return self._trial.entries_at(places)

    def record(self, drafts: Sequence[Draft]) -> "list[Entry]":
        """Go on as if these were recorded."""
        entries = self._written_down(drafts)
        self._trial.add(entries)
        self.drafts += drafts
        return entries


@contextmanager
def rehearsed(bench: Bench) -> Iterator[Rehearsal]:
    """A rehearsal for one book, whose recording lock the caller holds."""
    with tried(bench.model) as trial:
        yield Rehearsal(bench, trial)


def say(line: Line, rehearsal: Rehearsal, group: typer.Context, beside: Beside) -> Answer:
    """Give a line to the verb it names.

    Raises:
        TrackerError: what the verb would refuse, or no verb for a page; it names the line.
    """
    with line.named():
        verb, *words = line.words() or [""]
        if verb not in rehearsal.verbs:
            rehearsal.verbs[verb] = _verb(verb, group)
        out, err = io.StringIO(), io.StringIO()
        with _nobody_to_ask(), redirect_stdout(out), redirect_stderr(err):
            _run(rehearsal.verbs[verb], verb, words, rehearsal, beside)
        said = msgspec.json.decode(out.getvalue(), type=Said)
    return Answer(line, said, err.getvalue().splitlines())


def _verb(verb: str, group: typer.Context) -> TyperCommand:
    """The recording verb of that name."""
    parent = group.command
    assert isinstance(parent, typer.core.TyperGroup)
    if verb.startswith("-"):
        raise MisusedError(
            f"{verb} stands where a verb should.",
            where=LINE,
            do="begin the line with the verb; say --book before `enter`.",
        )
    command = parent.get_command(group, verb)
    if command is None:
        near = near_names(verb, parent.list_commands(group))
        hint = f"did you mean {near[0]}? " if near else ""
        raise MisusedError(
            f"{verb!r} is no verb.",
            where=LINE,
            do=f"{hint}`stillroom --help` lists them.",
        )
    if not isinstance(command, TyperCommand) or not hasattr(command.callback, "records"):
        raise MisusedError(
            f"`{verb}` records nothing on the shelf, and a page takes only what does.",
            where=LINE,
            do="take the line out, and say it by itself.",
        )
    return command


def _run(
    command: TyperCommand, verb: str, words: list[str], rehearsal: Rehearsal, beside: Beside
) -> None:
    try:
        context = command.make_context(verb, words, obj=rehearsal)
        said = context.params
        for name, option in _BESIDE.items():
            if said[name]:
                raise MisusedError(
                    f"{option} means nothing inside a page.",
                    where=LINE,
                    do=f"say it beside `enter`: stillroom enter FILE {option}.",
                )
        said["as_json"] = True
        said["when"] = _when(said["when"], beside)
        said["by"] = said["by"] or beside.by
        with context:
            command.invoke(context)
    except _USAGE as reason:
        what = reason.format_message()
        raise MisusedError(
            what, where=LINE, do=f"`stillroom {verb} --help` says what it takes."
        ) from reason
    except typer.Exit as reason:
        raise MisusedError(
            "That asks for something, and records nothing.",
            where=LINE,
            do="take it out of the page, and say it by itself.",
        ) from reason


def _when(said: str | None, beside: Beside) -> str | None:
    """The line's own day, else that of the page; a time alone is one of the page's day."""
    if said is None or beside.when is None:
        return said or beside.when_said
    is_time = said.replace(":", "").isdecimal() and ":" in said
    if is_time and beside.when.precision == "day":
        return f"{beside.when.earliest} {said}"
    return said


@contextmanager
def _nobody_to_ask() -> Iterator[None]:
    """In a page everything has been said: no verb may ask the person at the terminal."""
    before, sys.stdin = sys.stdin, io.StringIO()
    try:
        yield
    finally:
        sys.stdin = before
