"""Every line of the book, read from the files while the read model is asked beside."""

from collections.abc import Callable
from itertools import count
from pathlib import Path
from typing import NamedTuple

from tracker.core.facts.entry import Entry
from tracker.journal.file_marks import Damage, Mark, marks
from tracker.journal.model import read_model
from tracker.journal.model.sealed_model import BrokenModelError, SealedModel
from tracker.journal.read import Placed, read_on
from tracker.journal.read_places import unreadable

Question = Callable[[SealedModel], list[Damage]]
Ask = Callable[[Question], list[Damage]]


def entries_read(book: Path, ask: Ask) -> list[Entry]:
    """The entries of all files, and no line fewer than the read model says that there are.

    What it says is missing stands beside every answer. So damage that is there now and that it
    does not know of makes it new.

    Args:
        book: the book's folder.
        ask: asks the read model; one that turns out to be broken is made new and asked again.

    Raises:
        BookError: a file that could be read before cannot be read now.
    """
    read = _read(book)
    if _less_than_known(ask, read):
        _make_new(ask)
        read = _read(book)
        for one in _less_than_known(ask, read):
            if one.is_unreadable:
                raise unreadable(one.file, one.why)
    return [one.entry for one in read.placed]


class _Read(NamedTuple):
    """The files as they were read just now."""

    placed: list[Placed]
    damages: list[Damage]
    marks: dict[str, Mark]


def _read(book: Path) -> _Read:
    placed: list[Placed] = []
    damages: list[Damage] = []
    read = [read_on(book, mark, placed, damages) for _, mark in sorted(marks(book).items())]
    return _Read(placed, damages, {mark.file: mark for mark in read})


def _less_than_known(ask: Ask, read: _Read) -> list[Damage]:
    """Damage that the read model does not know of, and files that no longer hold all it holds."""

    def question(connection: SealedModel) -> list[Damage]:
        known = {_what(one) for one in read_model.damages(connection)}
        found = [one for one in read.damages if one.counts and _what(one) not in known]
        for name, mark in read_model.read_marks(connection).items():
            lines = read.marks[name].lines if name in read.marks else 0
            if lines < mark.lines:
                found.append(Damage(name, lines + 1, 0, "less than before", kind="gone"))
        return found

    return ask(question)


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
