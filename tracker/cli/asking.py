"""The guided questions: asked where a person sits at a terminal, never while the book is locked."""

import sys
from collections.abc import Callable
from typing import TYPE_CHECKING, Protocol, TypeVar

import typer

from tracker.cli.choosing import Choice, choose_one
from tracker.core.values.errors import AmbiguousAmountError, SeveralFitError, TrackerError
from tracker.core.values.text import shown

if TYPE_CHECKING:
    from tracker.core.rules.verdict import Finding, Question

T = TypeVar("T")


class OpenQuestionError(Exception):
    """A verb has to ask while it holds the book: it is let go, and the verb runs once more."""

    def __init__(self, ask: Callable[[], None]) -> None:
        super().__init__()
        self.ask = ask


class Asks(Protocol):
    """What a verb is run with: it can be let go of, and keeps what was answered."""

    as_json: bool
    answered: "set[Question]"

    def begin(self) -> None:
        """Forget what an earlier run of the verb gathered, but not what was answered."""

    def close(self) -> None:
        """Let go of the book."""


def ask(question: str, read: Callable[[str], object]) -> str:
    """What a person types in answer, once it can be read in one way."""
    from tracker.cli.given.typed_words import TypedWords

    while True:
        words = TypedWords()
        text = words.text(typer.prompt(question, err=True))
        for remark in words.remarks:
            typer.echo(remark, err=True)
        try:
            return settled(text, read, choose)
        except TrackerError as reason:
            typer.echo(shown(f"{reason.what} {reason.do}"), err=True)


def settled(
    text: str,
    read: Callable[[str], object],
    chosen: Callable[[AmbiguousAmountError], str],
) -> str:
    """The text, or the reading of it that is chosen, until it can be read in one way."""
    while True:
        try:
            read(text)
        except AmbiguousAmountError as asked:
            text = chosen(asked)
        else:
            return text


def choose(asked: AmbiguousAmountError) -> str:
    """The reading a person chooses by its number.

    Raises:
        AmbiguousAmountError: none of them is meant.
    """
    choices = [Choice(str(one), one.written) for one in asked.readings]
    chosen = choose_one(f"{asked.text}: {asked.why}", choices)
    if chosen is None:
        raise asked
    return chosen.given


def choose_thing(asked: SeveralFitError) -> str:
    """The code of the thing a person chooses by its number.

    Raises:
        SeveralFitError: none of them is meant.
    """
    from tracker.outputs.terminal.candidate_lines import candidate_lines

    found = asked.candidates
    lines = zip(candidate_lines(found), found, strict=True)
    choices = [Choice(line, one.code) for line, one in lines]
    chosen = choose_one(f"{asked.text} fits {len(choices)} things:", choices)
    if chosen is None:
        raise asked
    return chosen.given


def until_answered(desk: Asks, act: Callable[[], T]) -> T:
    """Do it; where there is a question, let the book go, ask, and do it from the start.

    Raises:
        AskedError: the gate asks, and there is no terminal to answer at.
    """
    from tracker.core.rules.verdict import AskedError

    while True:
        desk.begin()
        try:
            return act()
        except OpenQuestionError as question:
            desk.close()
            question.ask()
        except AskedError as asked:
            desk.close()
            if not sys.stdin.isatty() or desk.as_json:
                raise
            _confirm(asked.questions)
            desk.answered.update(one.question for one in asked.questions)
        finally:
            desk.close()


def _confirm(questions: "tuple[Finding, ...]") -> None:
    """Go on only if the person is sure of each; of what is recorded once more, of all of it."""
    repeats = [one for one in questions if one.rule == "repeated"]
    groups = [[one] for one in questions if one.rule != "repeated"]
    for group in [repeats, *groups] if repeats else groups:
        for one in group:
            typer.echo(f"{shown(one.code)}: {shown(one.what)}.", err=True)
        it = "it" if len(group) == 1 else "all of it"
        text = f"Record {it} once more" if group is repeats else f"Record {it}"
        if not typer.confirm(text, default=False, err=True):
            typer.echo("Nothing was recorded.", err=True)
            raise typer.Exit(1) from None
