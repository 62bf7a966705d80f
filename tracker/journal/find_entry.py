"""The line of the book that a person means: by its number, by its id, or by a part of that."""

from collections.abc import Iterator
from typing import NamedTuple

import msgspec

from tracker.core.facts.entry_numbers import is_called, name_of_line, read_name, told_apart
from tracker.core.values.errors import AmbiguousEntryError, UnknownEntryError
from tracker.journal.file_marks import Place
from tracker.journal.read_model import writers
from tracker.journal.sealed_model import LINE_SUMS, LINES_ON_A_SHEET, SealedModel

# Fewer characters of an id are a mistyped number.
_LEAST_OF_AN_ID = 6


class Stand(NamedTuple):
    """What a line is called, and where it stands."""

    writer: str
    number: int
    place: Place


_SHEET = msgspec.msgpack.Decoder(list[Stand])
_SUMS = msgspec.msgpack.Decoder(dict[int, int])


def places_called(connection: SealedModel, text: str) -> list[Place]:
    """Where the one line that is called so stands; in two places if a file was copied.

    The first that fits anything counts: an id; the number of a line, `214` of any writer and
    `h214` of one whose name begins so; the beginning or the end of an id.

    Raises:
        UnknownEntryError, AmbiguousEntryError: no line is called so, or several are.
    """
    wanted = text.strip().lower()
    known = writers(connection)
    found = _numbered(connection, wanted, known) if wanted.isdecimal() else []
    if not found:
        like = _every(connection, wanted)
        found = (
            [one for one in like if one.place.event == wanted]
            or _numbered(connection, wanted, known)
            or (like if len(wanted) >= _LEAST_OF_AN_ID else [])
        )
    if not found:
        raise UnknownEntryError(text)
    if len({one.place.event for one in found}) > 1:
        names = {one.place.event: name_of_line(one.writer, one.number, known) for one in found}
        raise AmbiguousEntryError(text, sorted(told_apart(names).values()))
    return [one.place for one in found]


def _numbered(connection: SealedModel, text: str, known: tuple[str, ...]) -> list[Stand]:
    said = read_name(text)
    if said is None:
        return []
    prefix, number = said
    lines = lines_on(connection, number // LINES_ON_A_SHEET)
    return [one for one in lines if one.number == number and is_called(one.writer, prefix, known)]


def _every(connection: SealedModel, part: str) -> list[Stand]:
    """Each line whose id is that, or begins or ends so."""
    return [
        line
        for line in every_line(connection, part)
        if line.place.event.startswith(part) or line.place.event.endswith(part)
    ]


def every_line(connection: SealedModel, having: str = "") -> Iterator[Stand]:
    """The lines of the book, of every sheet that has some text in it."""
    wanted = having.encode(errors="replace")
    for sheet in line_sums(connection).items():
        body = connection.part("lines", *sheet)
        if wanted in body:
            yield from _SHEET.decode(body)


def line_sums(connection: SealedModel) -> dict[int, int]:
    """The sum of every sheet of lines, by its number."""
    held = connection.aside(LINE_SUMS)
    return _SUMS.decode(held) if held else {}


def lines_on(connection: SealedModel, sheet: int) -> list[Stand]:
    """The lines on one sheet: those whose numbers are near."""
    fits = line_sums(connection).get(sheet)
    return [] if fits is None else _SHEET.decode(connection.part("lines", sheet, fits))


def last_places(connection: SealedModel, writer: str, most: int) -> list[Place]:
    """Where the last lines of a writer stand, the last one last."""
    found: list[Stand] = []
    for sheet in sorted(line_sums(connection), reverse=True):
        own = [one for one in lines_on(connection, sheet) if one.writer == writer]
        found += sorted(own, key=lambda one: one.number, reverse=True)
        if len(found) >= most:
            break
    return [one.place for one in found[:most]][::-1]
