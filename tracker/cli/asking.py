"""The guided questions: asked where a person sits at a terminal, never while the book is locked."""

import sys
from collections.abc import Callable
from typing import TYPE_CHECKING, Literal, Protocol, TypeVar

import typer

from tracker.cli.choosing import Choice, choose_one
from tracker.cli.screen import columns
from tracker.cli.typed_line import typed_line
from tracker.core.values.errors import AmbiguousAmountError, SeveralFitError, TrackerError
from tracker.core.values.text import shown

if TYPE_CHECKING:
    from tracker.core.rules.verdict import Finding, Question

T = TypeVar("T")
Decision = Literal["yes", "no", "change"]


class OpenQuestionError(Exception):
    """A verb has to ask while it holds the book: it is let go, and the verb runs once more."""

    def __init__(self, ask: Callable[[], None]) -> None:
        super().__init__()
        self.ask = ask


class UnansweredError(Exception):
    """Something is missing that the questions of the verb ask for."""


class AnotherAnswerError(Exception):
    """To a question about an answer, another answer was typed: it stands in place of the first."""

    def __init__(self, name: str, text: str) -> None:
        super().__init__()
        self.name, self.text = name, text


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
        text = words.text(typed_line(question, None))
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


def until_told(desk: Asks, act: Callable[[], T]) -> T:
    """Do it; where the verb itself has a question, let the book go, ask, and do it once more."""
    while True:
        desk.begin()
        try:
            return act()
        except OpenQuestionError as question:
            desk.close()
            question.ask()
        finally:
            desk.close()


def until_answered(desk: Asks, act: Callable[[], T]) -> T:
    """The same, and what the gate asks about as well.

    Raises:
        AskedError: the gate asks, and there is no terminal to answer at.
    """
    from tracker.core.rules.verdict import AskedError

    while True:
        try:
            return until_told(desk, act)
        except AskedError as asked:
            if not sys.stdin.isatty() or desk.as_json:
                raise
            if sure_of(asked.questions) != "yes":
                typer.echo("Nothing was recorded.", err=True)
                raise typer.Exit(1) from None
            desk.answered.update(one.question for one in asked.questions)


def sure_of(questions: "tuple[Finding, ...]", *, can_change: bool = False) -> Decision:
    """Whether the person is sure of each; of what is recorded once more, of all of it."""
    repeats = [one for one in questions if one.rule == "repeated"]
    groups = [[one] for one in questions if one.rule != "repeated"]
    for group in [repeats, *groups] if repeats else groups:
        for one in group:
            typer.echo(f"{shown(one.code)}: {shown(one.what)}.", err=True)
        it = "it" if len(group) == 1 else "all of it"
        text = f"Record {it} once more" if group is repeats else f"Record {it}"
        decided = decision(text, usual="no", can_change=can_change)
        if decided != "yes":
            return decided
    return "yes"


def explain(text: str) -> None:
    """Print what `?` answers."""
    from tracker.outputs.terminal.wrapping import wrapped

    for line in wrapped(text, columns()):
        typer.echo(line, err=True)


def decision(
    question: str, *, usual: Decision, can_change: bool = False, help_: str = ""
) -> Decision:
    """A yes or a no, or that something is to be changed first; Enter takes what is usual."""
    letters = ("Y/n" if usual == "yes" else "y/N") + ("/change" if can_change else "")
    while True:
        text = typed_line(f"{question} [{letters}]", show_default=False)
        match str(text).strip().lower():
            case "":
                return usual
            case "y" | "yes":
                return "yes"
            case "n" | "no":
                return "no"
            case "c" | "change" | "back" | "<" if can_change:
                return "change"
            case "?" if help_:
                explain(help_)
