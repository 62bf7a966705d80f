"""The guided questions: asked where a person sits at a terminal, never while the book is locked."""

import sys
from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol, TypeVar

import typer

from tracker.core.rules.verdict import AskedError, Finding
from tracker.core.values.errors import TrackerError
from tracker.core.values.text import shown

T = TypeVar("T")


@dataclass(slots=True)
class OpenQuestionError(Exception):
    """A verb has to ask while it holds the book: it is let go, and the verb runs once more."""

    ask: Callable[[], None]


class Asks(Protocol):
    """What a verb is run with: it can be let go of, and be sure."""

    as_json: bool
    sure: bool

    def begin(self) -> None:
        """Forget what an earlier run of the verb gathered, but not what was answered."""

    def close(self) -> None:
        """Let go of the book."""


def ask(question: str, read: Callable[[str], object]) -> str:
    """What a person types in answer, once it can be read."""
    while True:
        text: str = typer.prompt(question, err=True)
        try:
            read(text)
        except TrackerError as reason:
            typer.echo(f"{reason.what} {reason.do}", err=True)
        else:
            return text


def until_answered(desk: Asks, act: Callable[[], T]) -> T:
    """Do it; where there is a question, let the book go, ask, and do it from the start.

    Raises:
        AskedError: the gate asks, and there is no terminal to answer at.
    """
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
            desk.sure = True
        finally:
            desk.close()


def _confirm(questions: tuple[Finding, ...]) -> None:
    """Go on only if the person is sure of each."""
    for question in questions:
        typer.echo(f"{shown(question.code)}: {shown(question.what)}.", err=True)
        if not typer.confirm("Record it", default=False, err=True):
            typer.echo("Nothing was recorded.", err=True)
            raise typer.Exit(1) from None
