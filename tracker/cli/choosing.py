"""A numbered choice at a terminal: what there is, one a line, and a number typed in answer."""

from collections.abc import Sequence

import msgspec
import typer

from tracker.cli.typed_line import typed_line
from tracker.core.values.text import shown


class Choice(msgspec.Struct, frozen=True):
    """One of several: what a person reads, and what it stands for on a command line."""

    said: str
    given: str


def choose_one(heading: str, choices: Sequence[Choice]) -> Choice | None:
    """The one a person chooses by its number; None where none of them is meant."""
    typer.echo(shown(heading), err=True)
    for number, choice in enumerate(choices, 1):
        typer.echo(f"  {number}  {shown(choice.said)}", err=True)
    while True:
        answer = str(typed_line(f"Which, 1 to {len(choices)}, or none", None)).strip()
        if answer.isdecimal() and 1 <= int(answer) <= len(choices):
            return choices[int(answer) - 1]
        if answer.lower() in ("none", "n", "0"):
            return None
