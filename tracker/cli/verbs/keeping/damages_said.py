"""What is wrong with the files of a book or a copy, said by the verbs that look for it."""

from collections.abc import Iterable

import typer

from tracker.core.values.text import shown
from tracker.journal.file_marks import Damage, DamageKind

# What can be done about damage of a kind at once.
_TO_DO: dict[DamageKind, str] = {
    "gone": "bring the file back from a backup; or say `stillroom check --accept`",
    "unreadable": "make sure that the disk is sound and that you may read the file, and ask again",
}


def say_damages(damages: Iterable[Damage], *, err: bool = False) -> None:
    """Print where each is, what it is, and what can be done at once."""
    for one in damages:
        line = f", line {one.line}, byte {one.byte}" if one.line else ""
        typer.echo(f"{shown(one.file)}{line}: {shown(one.why)}", err=err)
        if one.kind in _TO_DO:
            typer.echo(f"  to do: {_TO_DO[one.kind]}.", err=err)


def damage_fields(one: Damage) -> dict[str, object]:
    """The same as data."""
    return {
        "file": one.file,
        "line": one.line or None,  # the whole file is meant
        "byte": one.byte,
        "kind": one.kind,
        "why": one.why,
    }
