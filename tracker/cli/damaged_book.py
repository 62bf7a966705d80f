"""Beside every answer: that the book is not whole, where it is not."""

from collections.abc import Iterable
from typing import TYPE_CHECKING

from tracker.cli.screen import say

if TYPE_CHECKING:
    from tracker.cli.desk import Desk
    from tracker.journal.file_marks import Damage


def damaged(desk: "Desk") -> None:
    """Say beside an answer that the book is not whole, where it is not."""
    tell_damages(desk.bench.damages())


def tell_damages(damages: "Iterable[Damage]") -> None:
    """Say on standard error how much is not as written, if anything is."""
    if missing := missing_of(damages):
        from tracker.outputs.words.not_whole import incomplete

        say(incomplete(missing), err=True)


def missing_of(damages: "Iterable[Damage]") -> int:
    """How many things are not as written."""
    return sum(one.counts for one in damages)
