"""The line of the book that a person means: by its number, by its id, or by a part of that."""

import sqlite3
from typing import NamedTuple

from tracker.core.facts.entry_numbers import is_called, name_of_line, read_name
from tracker.core.values.errors import AmbiguousEntryError, UnknownEntryError
from tracker.journal.file_marks import Place
from tracker.journal.read_model import writers

# Fewer characters of an id are a mistyped number.
_LEAST_OF_AN_ID = 6


class _Found(NamedTuple):
    writer: str
    number: int
    place: Place


def places_called(connection: sqlite3.Connection, text: str) -> list[Place]:
    """Where the one line that is called so stands; in two places if a file was copied.

    The first that fits anything counts: an id; the number of a line, `214` of any writer and
    `h214` of one whose name begins so; the beginning or the end of an id.

    Raises:
        UnknownEntryError, AmbiguousEntryError: no line is called so, or several are.
    """
    wanted = text.strip().lower()
    known = writers(connection)
    found = (
        _lines(connection, "event = ?", wanted)
        or _numbered(connection, wanted, known)
        or _like(connection, wanted)
    )
    if not found:
        raise UnknownEntryError(text)
    if len({one.place.event for one in found}) > 1:
        names = {one.place.event: name_of_line(one.writer, one.number, known) for one in found}
        if len(set(names.values())) < len(names):  # of a writer whose file went two ways
            names = {event: event for event in names}
        raise AmbiguousEntryError(text, sorted(names.values()))
    return [one.place for one in found]


def _numbered(connection: sqlite3.Connection, text: str, known: tuple[str, ...]) -> list[_Found]:
    said = read_name(text)
    if said is None:
        return []
    prefix, number = said
    lines = _lines(connection, "number = ?", number)
    return [one for one in lines if is_called(one.writer, prefix, known)]


def _like(connection: sqlite3.Connection, part: str) -> list[_Found]:
    if len(part) < _LEAST_OF_AN_ID:
        return []
    either_end = "substr(event, 1, ?2) = ?1 OR substr(event, -?2) = ?1"
    return _lines(connection, either_end, part, len(part))


def _lines(connection: sqlite3.Connection, where: str, *values: str | int) -> list[_Found]:
    query = f"SELECT writer, number, event, file, offset, length FROM lines WHERE {where}"
    rows = connection.execute(query, values)
    return [_Found(writer, number, Place(*at)) for writer, number, *at in rows]
