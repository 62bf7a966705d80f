"""The one confirmation at the end of a walk: the whole in words, and a yes, a no or a change."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

import typer

from tracker.cli.asking import Decision, UnansweredError, decision, sure_of
from tracker.cli.choosing import Choice, choose_one
from tracker.cli.printing import echo_wrapped
from tracker.cli.questions.guides import questions_of
from tracker.cli.questions.typed_answers import BackError
from tracker.cli.questions.walk import Act, Walk, said
from tracker.core.rules.verdict import AskedError
from tracker.core.values.errors import TrackerError
from tracker.core.values.text import shown

if TYPE_CHECKING:
    from tracker.cli.desk import Desk
    from tracker.core.rules.verdict import Finding


def walked(desk: "Desk", verb: str, given: Mapping[str, object], act: Act) -> dict[str, object]:
    """What a verb is given once every question about it is answered and the whole is confirmed.

    Raises:
        typer.Exit: a person said no.
    """
    asked = questions_of(verb)
    if given.get("like"):  # what may be left out is as it was the last time
        asked = [one for one in asked if not one.may_skip]
    walk = Walk(desk, asked, given, act)
    walk.ask_all()
    return confirmed(walk)


def alike(desk: "Desk", verb: str, given: Mapping[str, object], act: Act) -> dict[str, object]:
    """What a verb is given that is like an earlier one, once the whole is confirmed.

    Raises:
        typer.Exit: a person said no.
    """
    return confirmed(Walk(desk, questions_of(verb), given, act))


def confirmed(walk: Walk) -> dict[str, object]:
    """What the verb is given, once a person has seen what it would record and says yes.

    Raises:
        typer.Exit: a person said no.
    """
    while not walk.desk.dry_run:
        try:
            asked = _shown_whole(walk)
        except (TrackerError, UnansweredError) as reason:
            if not _can_change(walk):
                raise
            typer.echo(shown(_why(reason)), err=True)
            _change(walk)
            continue
        answer = _answer(walk, asked)
        if answer == "yes":
            walk.desk.answered.update(one.question for one in asked)
            break
        if answer == "no":
            typer.echo("Nothing was recorded.", err=True)
            raise typer.Exit(1)
        _change(walk)
    return walk.words()


def _why(reason: TrackerError | UnansweredError) -> str:
    if isinstance(reason, UnansweredError):
        return "So far there is nothing to record."
    return said(reason)


def _shown_whole(walk: Walk) -> "tuple[Finding, ...]":
    """Print what would be recorded, as it is answered; what the gate asks about it."""
    from tracker.cli.answer import answer_of

    words: dict[str, object] = walk.words()
    asked: tuple[Finding, ...] = ()
    try:
        recorded = walk.tried(words, sure=walk.desk.sure)
    except AskedError as questions:
        asked = questions.questions
        recorded = walk.tried(words, sure=True)
    answer = answer_of(walk.desk, recorded)
    said = {f"Caution: {shown(one.code)}: {shown(one.what)}." for one in asked}
    typer.echo("", err=True)
    for line in answer.lines:
        echo_wrapped(line, err=True)
    for line in answer.beside:
        if line not in said:
            echo_wrapped(line, err=True)
    walk.desk.confirmed = (*answer.lines, *answer.beside)
    return asked


def _answer(walk: Walk, asked: "tuple[Finding, ...]") -> Decision:
    """What the gate asks about keeps a yes of its own; nothing else has to be feared."""
    can_change = _can_change(walk)
    if asked:
        return sure_of(asked, can_change=can_change)
    return decision("Record?", usual="yes", can_change=can_change)


def _can_change(walk: Walk) -> bool:
    return bool(walk.answers)


def _change(walk: Walk) -> None:
    """Ask one question again, chosen by its number; and what only comes up by its answer."""
    asked = [one for one in walk.questions if one.name in walk.answers]
    offers = [
        Choice(f"{one.words}: {' + '.join(walk.answers[one.name]) or '-'}", one.name)
        for one in asked
    ]
    chosen = choose_one("What is to change?", offers)
    if chosen is None:
        return
    walk.desk.answers.clear()
    one = next(one for one in asked if one.name == chosen.given)
    kept = walk.answers[one.name]
    try:
        walk.ask(one)
    except BackError:
        walk.answers[one.name] = kept
        return
    for other in walk.questions:
        is_given = other.given_by(walk.given)
        if not other.applies(walk):
            walk.answers.pop(other.name, None)
        elif not is_given and other.name not in walk.answers:
            walk.ask(other)
