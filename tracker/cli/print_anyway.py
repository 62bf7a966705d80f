"""What a person at a terminal is asked before anything is printed; a script gets a warning."""

import sys
from collections.abc import Iterable
from typing import TYPE_CHECKING

import typer

from tracker.cli.damaged_book import missing_of
from tracker.core.values.text import shown

if TYPE_CHECKING:
    from tracker.cli.desk import Desk
    from tracker.journal.file_marks import Damage


def print_anyway(
    desk: "Desk", letters: Iterable[str], damages: "Iterable[Damage]" = ()
) -> list[str]:
    """What to say beside the answer of letters no font has; asked about first at a terminal.

    Args:
        desk: who is asked.
        letters: those that no font has.
        damages: what is not as written in the book; every answer says so by itself.

    Raises:
        Exit: the person would rather not; nothing was printed.
    """
    if missing := missing_of(damages):
        from tracker.outputs.words.not_whole import incomplete

        _ask(desk, incomplete(missing))
    named = ", ".join(f"{one} (U+{ord(one):04X})" for one in sorted(letters))
    if not named:
        return []
    doubt = f"no font has {named}: \ufffd stands there instead"
    return [] if _ask(desk, f"{doubt[:1].upper()}{doubt[1:]}.") else [doubt]


def _ask(desk: "Desk", doubt: str) -> bool:
    """Whether the person was asked, and said yes."""
    if desk.sure or desk.dry_run or desk.as_json or desk.page or not sys.stdin.isatty():
        return False
    if not desk.confirm(f"{shown(doubt)} Print anyway?"):
        typer.echo("Nothing was printed.", err=True)
        raise typer.Exit(1)
    return True
