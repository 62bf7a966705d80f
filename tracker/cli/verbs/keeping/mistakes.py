"""What was recorded wrongly: `undo`, `correct`, `strike`, `same`. No line is ever changed."""

from collections.abc import Iterable, Sequence
from typing import Annotated

import typer

from tracker.cli.amending import left_by, meant_beside, told_before, told_of_undo
from tracker.cli.desk import Desk
from tracker.cli.given.changes_asked import ASKED, changes_asked, with_values_given
from tracker.cli.given.fields_given import change_given
from tracker.cli.given.lines_given import line_meant
from tracker.cli.options import Why, recording
from tracker.cli.own_commands import last_command, show_commands
from tracker.cli.reasking import is_asked, recorded_once_shown
from tracker.core.facts.amendments import Corrected, SameAs, Struck
from tracker.core.facts.entry import Entry
from tracker.core.facts.field_words import words_of
from tracker.core.facts.kinds import AnyFact
from tracker.core.rules.recorded import Recorded
from tracker.core.rules.undoing import why_undone
from tracker.core.values.errors import MisusedError

app = typer.Typer(rich_markup_mode=None)

Event = Annotated[
    str | None, typer.Argument(help="A line's number in `history`, 214; or a code to choose from.")
]
_WHICH = "Which line, by its number or a code"


@app.command()
@recording
def undo(
    desk: Desk,
    why: Why = None,
    is_list: Annotated[
        bool, typer.Option("--list", help="Show the last ten commands; record nothing.")
    ] = False,
) -> Recorded:
    """Take back the last command recorded here.

    All its lines go together, each by a strike. The next `undo` takes back the command before.
    """
    if desk.page is not None:
        raise MisusedError(
            "A page is one command, and `undo` takes back a whole one.",
            where="the line",
            do="take the line out, or run `stillroom undo` once the page is entered.",
        )
    if is_list:
        show_commands(desk)
        raise typer.Exit
    lines = last_command(desk)
    facts, hints = _strikes_of(lines, why_undone(why)), left_by(lines)
    if is_asked(desk):
        return recorded_once_shown(desk, facts, told_of_undo(desk, lines, hints))
    desk.remarks += hints
    return desk.record_all(facts)


@app.command()
@recording
def strike(
    desk: Desk,
    events: Annotated[
        list[str] | None,
        typer.Argument(help="Numbers of lines in `history`, 214; or a code to choose from."),
    ] = None,
    why: Why = None,
) -> Recorded:
    """Take back something recorded earlier, with a reason.

    It counts as if it had never happened, and stays in the history.
    """
    texts = desk.need(events or None, _WHICH, read=str.split)
    lines = {one.id: one for one in (_to_strike(desk, text) for text in texts)}
    reason = desk.need(why, "Why", read=str.strip)
    targets = list(lines.values())
    facts = _strikes_of(targets, reason)
    hints = meant_beside(desk, targets)
    if is_asked(desk) and (hints or not (events and why) or _has_code(texts, targets)):
        return recorded_once_shown(desk, facts, told_before(desk, hints))
    desk.remarks += hints
    return desk.record_all(facts)


def _strikes_of(lines: Iterable[Entry], why: str) -> list[tuple[str, AnyFact]]:
    return [(one.subject, Struck(event=one.id, jars=one.jars, why=why)) for one in lines]


def _to_strike(desk: Desk, text: str) -> Entry:
    return line_meant(desk, text, with_amendments=True)


def _has_code(texts: Sequence[str], targets: Iterable[Entry]) -> bool:
    """Whether a line was chosen by a code rather than named."""
    return not all(any(str(one.sequence) in text for text in texts) for one in targets)


@app.command()
@recording
def same(
    desk: Desk,
    event: Event = None,
    other: Annotated[
        str | None, typer.Argument(help="The other record of it, by its number or a code.")
    ] = None,
    why: Why = None,
) -> Recorded:
    """Say that two records are of one thing that happened.

    EVENT stands, OTHER does not. A code lists its lines to choose from.
    """
    stands = desk.need(event, "Which line stands", read=str.strip)
    first = line_meant(desk, stands, question="Which line stands?")
    twice = desk.need(other, "Which line says it again", read=str.strip)
    second = line_meant(desk, twice, question="Which line says it again?")
    jars = tuple(dict.fromkeys([*first.jars, *second.jars]))
    return desk.record(first.subject, SameAs(event=second.id, stands=first.id, jars=jars, why=why))


@app.command()
@recording
def correct(
    desk: Desk,
    event: Event = None,
    values: Annotated[
        list[str] | None,
        typer.Option("--set", help="What is right: volume=330ml, day=2025-04-05. Can be repeated."),
    ] = None,
    why: Why = None,
) -> Recorded:
    """Put right something recorded, and say why.

    The history keeps both. At a terminal everything is asked, with what it says now.
    """
    target = line_meant(desk, desk.need(event, _WHICH, read=str.strip))
    root = desk.book.standing(target)
    # Correcting a correction gives the event at its root its values again.
    changes, depth = _values_of(target)
    if values:
        given = [change_given(desk, root, text) for text in values]
        # The name and part that come with a herb give way to those said beside it.
        for one in sorted(given, key=lambda found: "herb" not in found):
            changes |= one
    elif is_asked(desk):
        changes |= changes_asked(desk, root)
    else:
        raise MisusedError(
            "What is right is not said.",
            where="--set: it is missing, and there is no terminal to ask at",
            do=f"write --set field=value; it has: {_words(root)}.",
        )
    corrected = with_values_given(root, changes, "--set")
    reason = desk.need(why, "Why", read=str.strip)
    fact = Corrected(
        event=target.id,
        jars=tuple(dict.fromkeys([*target.jars, *root.jars, *corrected.jars])),
        set=_at_depth(changes, depth),
        why=reason,
    )
    if values:
        return desk.record(target.subject, fact)
    return recorded_once_shown(
        desk, [(target.subject, fact)], told_before(desk, (), of=root), asks_again=ASKED
    )


def _words(root: Entry) -> str:
    return ", ".join(one.word for one in words_of(root.fact))


def _values_of(entry: Entry) -> tuple[dict[str, object], int]:
    """The values a correction gives to its root, and by how many corrections it is from there."""
    if not isinstance(entry.fact, Corrected):
        return {}, 0
    values, depth = entry.fact.set, 1
    while isinstance(inner := values.get("set"), dict):
        values, depth = inner, depth + 1
    return dict(values), depth


def _at_depth(values: dict[str, object], depth: int) -> dict[str, object]:
    for _ in range(depth):
        values = {"set": values}
    return values
