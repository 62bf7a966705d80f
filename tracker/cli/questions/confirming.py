"""The one confirmation at the end of a walk: the whole in words, and a yes, a no or a change."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

import typer

from tracker.cli.asking import Decision, UnansweredError, decision, sure_of
from tracker.cli.choosing import Choice, choose_one
from tracker.cli.given.like import as_another
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
    walk = Walk(desk, questions_of(verb), given, act)
    walk.ask_all()
    return confirmed(walk)


def alike(desk: "Desk", verb: str, given: Mapping[str, object], act: Act) -> dict[str, object]:
    """The same where another jar answers for whatever may be left out.

    Raises:
        typer.Exit: a person said no.
    """
    walk = Walk(desk, questions_of(verb), as_another(desk, verb, given), act)
    for one in walk.questions:
        answers = one.answers_in(walk.given)
        if answers or one.may_skip:
            walk.answers[one.name] = answers
    asked = [one for one in walk.questions if one.applies(walk)]
    named = {name for one in asked for name in (one.name, *one.fills)}
    walk.given = {name: value for name, value in walk.given.items() if name not in named}
    walk.ask_all()
    return confirmed(walk)


def confirmed(walk: Walk) -> dict[str, object]:
    """What the verb is given, once a person has seen what it would record and says yes.

    Raises:
        typer.Exit: a person said no.
    """
    refused = ""
    while not walk.desk.dry_run:
        try:
            asked = _shown_whole(walk)
        except (TrackerError, UnansweredError) as reason:
            if not walk.answers or refused == _why(reason):
                raise
            refused = _why(reason)
            typer.echo(shown(refused), err=True)
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

    asked: tuple[Finding, ...] = ()
    try:
        recorded = walk.tried(walk.words(), sure=walk.desk.sure)
    except AskedError as questions:
        asked = questions.questions
        recorded = walk.tried(walk.words(), sure=True)
    answer = answer_of(walk.desk, recorded)
    said = {f"Caution: {shown(one.code)}: {shown(one.what)}." for one in asked}
    typer.echo("", err=True)
    for line in answer.lines:
        typer.echo(line, err=True)
    for line in answer.beside:
        if line not in said:
            typer.echo(line, err=True)
    walk.desk.confirmed = (*answer.lines, *answer.beside)
    return asked


def _answer(walk: Walk, asked: "tuple[Finding, ...]") -> Decision:
    """What the gate asks about keeps a yes of its own; nothing else has to be feared."""
    can_change = bool(walk.answers)
    if asked:
        return sure_of(asked, can_change=can_change)
    return decision("Record?", usual="yes", can_change=can_change)


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
    if walk.answers[one.name] != kept:
        walk.forget(one.settles)
    for other in walk.questions:
        is_given = other.given_by(walk.given)
        if not other.applies(walk):
            walk.answers.pop(other.name, None)
        elif not is_given and other.name not in walk.answers:
            walk.ask(other)
