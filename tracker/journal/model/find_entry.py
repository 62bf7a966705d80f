"""The line of the book that a person means: by its number, by its id, or by a part of that."""

from collections.abc import Iterator
from contextlib import suppress
from itertools import pairwise
from pathlib import Path

from tracker.core.facts.entry import Entry
from tracker.core.facts.entry_numbers import is_called, name_of_line, read_name, told_apart
from tracker.core.values.errors import AmbiguousEntryError, UnknownEntryError
from tracker.journal.book_file import opened
from tracker.journal.file_marks import Mark, Step
from tracker.journal.model.file_steps import Files, entries_numbered, lines_from
from tracker.journal.model.id_sums import IdSums
from tracker.journal.model.read_model import read_marks, writers
from tracker.journal.model.sealed_model import SealedModel

# Fewer characters of an id are a mistyped number.
_LEAST_OF_AN_ID = 6


def entries_called(connection: SealedModel, book: Path, text: str) -> list[Entry]:
    """The one line that is called so; several times if a file was copied.

    The first that fits anything counts: an id; the number of a line, `214` of any writer and
    `h214` of one whose name begins so; the beginning or the end of an id.

    Raises:
        UnknownEntryError, AmbiguousEntryError: no line is called so, or several are.
        ChangedLineError: a file is not what was read before.
    """
    wanted = text.strip().lower()
    known = writers(connection)
    found = _numbered(connection, book, wanted, known) if wanted.isdecimal() else []
    if not found:
        is_there = IdSums(connection, 0).has(wanted)
        found = (
            [one for one in _like(connection, book, wanted) if one.id == wanted] if is_there else []
        ) or _numbered(connection, book, wanted, known)
    if not found and len(wanted) >= _LEAST_OF_AN_ID:
        found = _like(connection, book, wanted)
    if not found:
        raise UnknownEntryError(text)
    if len({one.id for one in found}) > 1:
        names = {one.id: name_of_line(one.source, one.sequence, known) for one in found}
        raise AmbiguousEntryError(text, sorted(told_apart(names).values()))
    return found


def _numbered(
    connection: SealedModel, book: Path, text: str, known: tuple[str, ...]
) -> list[Entry]:
    said = read_name(text)
    if said is None:
        return []
    prefix, number = said
    lines = [
        one
        for mark in read_marks(connection).values()
        for one in entries_numbered(connection, book, mark, number)
    ]
    return [one for one in lines if is_called(one.source, prefix, known)]


def _like(connection: SealedModel, book: Path, part: str) -> list[Entry]:
    """Each line whose id is that, or begins or ends so."""
    found: dict[int, Entry] = {}
    for mark in [one for one in read_marks(connection).values() if one.lines]:
        for one in _lines_with(connection, book, mark, part.encode(errors="replace")):
            if one.id.startswith(part) or one.id.endswith(part):
                found[id(one)] = one
    return list(found.values())


def _lines_with(connection: SealedModel, book: Path, mark: Mark, text: bytes) -> Iterator[Entry]:
    """The lines of a file from each step on that has some text in its bytes."""
    last = Step(mark.read_to, mark.lines, mark.digest, mark.odd)
    parts = list(pairwise([*Files(connection).steps(mark.file), last]))
    for step, following in _having(book, mark, parts, text):
        for entry, *_ in lines_from(connection, book, mark, step, following.lines):
            yield entry


def _having(
    book: Path, mark: Mark, parts: list[tuple[Step, Step]], text: bytes
) -> list[tuple[Step, Step]]:
    """The parts of a file that have some text in their bytes, told without reading their lines."""
    found = []
    with suppress(OSError):
        with opened(book, mark.file) as file:
            for step, following in parts:
                file.seek(step.offset)
                if text in file.read(following.offset - step.offset):
                    found.append((step, following))
        return found
    return parts  # what reads the lines says what is wrong
