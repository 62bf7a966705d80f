"""What a verb answers once it has recorded: words or fields, and remarks beside them."""

import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager

import msgspec
import typer

from tracker.bench.record import also_failed
from tracker.cli.desk import Desk
from tracker.cli.printing import echo_json
from tracker.cli.streams import flush
from tracker.core.facts.entry import Entry
from tracker.core.rules.recorded import Recorded
from tracker.core.rules.undoing import is_undo
from tracker.core.values.kind_words import kind_said
from tracker.core.values.text import shown
from tracker.outputs.words.answers.reply import reply


class Answer(msgspec.Struct, frozen=True):
    """What was recorded, the lines that say so, warnings, and remarks made beside."""

    recorded: Recorded
    lines: tuple[str, ...]
    warnings: tuple[str, ...]
    remarks: tuple[str, ...]
    cautions: tuple[str, ...]
    fields: Mapping[str, object] = {}

    @property
    def beside(self) -> tuple[str, ...]:
        """Everything for standard error, in its order."""
        warned = tuple(f"Caution: {one}." for one in self.warnings)
        return (*self.remarks, *warned, *self.cautions)

    def kinds(self) -> list[str]:
        """The kind of each event."""
        return [one.kind for one in self.recorded.entries]


def answer_of(desk: Desk, recorded: Recorded) -> Answer:
    """The answer of a verb to what it recorded, as values."""
    bench = desk.bench
    folds = not (desk.as_json or (desk.page is not None and desk.page.as_json))
    told = reply(recorded, bench.practice, bench.today(), desk.columns, folds=folds)
    warnings = dict.fromkeys([*desk.warnings, *told.warnings])
    fields: Mapping[str, object] = {}
    if desk.as_json:
        from tracker.outputs.words.answers.more_fields import more_fields

        fields = more_fields(recorded)
    return Answer(
        recorded,
        tuple(shown(line) for line in told.lines),
        tuple(shown(one) for one in warnings),
        _remarks(desk),
        tuple(shown(one) for one in told.cautions),
        fields,
    )


def _remarks(desk: Desk) -> tuple[str, ...]:
    return tuple(shown(one) for one in (*desk.remarks, *desk.bench.remarks))


def answered(desk: Desk, recorded: Recorded) -> Answer:
    """The answer to what is on the disk; where it cannot be made, which entries they are."""
    try:
        return answer_of(desk, recorded)
    except Exception as reason:
        if desk.done is None:
            raise
        desk.bench.remarks.append(also_failed(reason))
    warnings = tuple(shown(one) for one in desk.warnings)
    return Answer(recorded, tuple(map(_plainly, recorded.entries)), warnings, _remarks(desk), ())


def _plainly(entry: Entry) -> str:
    """What can be said of an entry whatever else fails."""
    return shown(f"{entry.subject}: {kind_said(entry.kind)}, recorded as {entry.sequence}.")


def show_answer(desk: Desk, answer: Answer) -> None:
    """Data on standard output, and remarks on standard error."""
    for remark in answer.beside:
        if remark not in desk.confirmed:
            typer.echo(remark, err=True)
    if desk.as_json:
        echo_json(
            {
                "recorded": [
                    {"id": one.id, "kind": one.kind, "code": one.subject}
                    for one in answer.recorded.entries
                ],
                "dry_run": desk.dry_run,
                "flags": answer.warnings,
                "said": answer.lines,
                **answer.fields,
            }
        )
        return
    if desk.confirmed and set(answer.lines) <= {*desk.confirmed} and sys.stdout.isatty():
        typer.echo(f"Recorded. {_way_back(answer)}")
        return
    for place, line in enumerate(answer.lines):
        typer.echo(line if place or not desk.dry_run else f"Would record: {line}")


def _way_back(answer: Answer) -> str:
    """How what was recorded is taken back; of an undo its answer says it last."""
    if all(is_undo(one.fact) for one in answer.recorded.entries):
        return answer.lines[-1]
    return "`stillroom undo` takes it back."


@contextmanager
def kept_once_recorded(desk: Desk) -> Iterator[None]:
    """Record and answer inside; once it is recorded, no failure to say so is a refusal."""
    try:
        yield
        flush()
    except KeyboardInterrupt:  # once it is recorded there is none any more
        typer.echo("Stopped: nothing was recorded.", err=True)
        raise
    except typer.Abort:  # Ctrl-C or Ctrl-D at a question, in the middle of its line
        typer.echo("\nStopped: nothing was recorded.", err=True)
        raise typer.Exit(1) from None
    except Exception as reason:  # whatever it is, the book has it, and must not hear otherwise
        if not desk.is_recorded:
            raise
        why = str(reason) or type(reason).__name__
        typer.echo(f"It is recorded. {shown(why.splitlines()[0])}", err=True)
