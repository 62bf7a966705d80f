"""Every line of the book, read from the files while the read model is asked beside."""

from collections.abc import Callable, Sequence
from itertools import count
from pathlib import Path

from tracker.core.facts.entry import Entry
from tracker.journal import read_model
from tracker.journal.file_marks import Damage
from tracker.journal.read import read_book, unreadable
from tracker.journal.sealed_model import BrokenModelError, SealedModel

Question = Callable[[SealedModel], list[Damage]]
Ask = Callable[[Question], list[Damage]]


def every_line(book: Path, ask: Ask) -> list[Entry]:
    """The entries of all files, and no line fewer than the read model says that there are.

    What it says is missing stands beside every answer. So damage that is there now and that it
    does not know of makes it new.

    Args:
        book: the book's folder.
        ask: asks the read model; one that turns out to be broken is made new and asked again.

    Raises:
        BookError: a file that could be read before cannot be read now.
    """
    placed, damages = read_book(book)
    if _unknown(ask, damages):
        _make_new(ask)
        placed, damages = read_book(book)
        for one in _unknown(ask, damages):
            if one.is_unreadable:
                raise unreadable(one.file, one.why)
    return [one.entry for one in placed]


def _unknown(ask: Ask, damages: Sequence[Damage]) -> list[Damage]:
    """Which of these the read model does not know of; where there are none it is not asked."""
    found = [one for one in damages if one.counts]
    known = {_what(one) for one in ask(read_model.damages)} if found else set()
    return [one for one in found if _what(one) not in known]


def _make_new(ask: Ask) -> None:
    tries = count()

    def question(_: SealedModel) -> list[Damage]:
        if next(tries) == 0:
            raise BrokenModelError("damages")
        return []

    ask(question)


def _what(damage: Damage) -> tuple[str, str]:
    """What is the same at every reading: where a file breaks off differs."""
    return damage.file, damage.kind if damage.is_unreadable else str(damage.line)
