"""Reading the book: every file under `events/`, line by line, each digest checked."""

from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

import msgspec

from tracker.core.facts.entry import Entry
from tracker.core.values.errors import BookError, DamagedLineError
from tracker.journal.file_marks import GENESIS, UNREADABLE, Damage, Mark, Place, marks
from tracker.journal.line import BOM, bared, link, read_line, sequence_of, split_digest


class Placed(NamedTuple):
    """An entry and where its line stands."""

    entry: Entry
    event: str
    file: str
    offset: int
    length: int

    @property
    def place(self) -> Place:
        """Where its line stands."""
        return Place(*self[1:])


def read_on(book: Path, mark: Mark, placed: list[Placed], damages: list[Damage]) -> Mark:
    """Read a file on from where `mark` ends; returns the new mark.

    Entries and damages are appended to the lists. A last line without its newline is not
    read: it is still being written, or was cut off.
    """
    digest, number, offset = mark.digest, mark.lines, mark.read_to
    changed: set[str] = set()
    try:
        with (book / "events" / mark.file).open("rb") as file:
            file.seek(offset)
            for line in file:  # a binary file's lines end at \n and nowhere else
                number += 1
                if not line.endswith(b"\n"):
                    damages.append(_unfinished(mark.file, number, offset, len(line)))
                    number -= 1
                    break
                bare, start = line[:-1], offset
                if bare[-1:] == b"\r" or bare[:3] == BOM:
                    bare = bared(bare, number)
                    start += line.index(bare)
                    changed |= _additions(line[:-1], bare)
                try:
                    entry, digest = _checked(bare, digest, number)
                    placed.append(Placed(entry, entry.id, mark.file, start, len(bare)))
                except DamagedLineError as damage:
                    damages.append(Damage(mark.file, number, offset, damage.what))
                    digest = _stated_digest(bare) or digest
                offset += len(line)
    except OSError as reason:
        why = f"{UNREADABLE}: {reason.strerror}"
        damages.append(Damage(mark.file, number + 1, offset, why))
        mark = mark.unread()
    damages += [Damage(mark.file, 1, 0, why, harmless=True) for why in sorted(changed)]
    return msgspec.structs.replace(mark, read_to=offset, lines=number, digest=digest)


def _additions(line: bytes, bare: bytes) -> set[str]:
    """What an editor or a transfer put around a line, in words."""
    said = set()
    if line.startswith(BOM) and not bare.startswith(BOM):
        said.add("begins with a byte order mark, which an editor put there; read without it")
    if line.endswith(b"\r") and not bare.endswith(b"\r"):
        said.add("ends lines with CR LF, as an editor or a transfer does; read without the CR")
    return said


def _unfinished(file: str, line: int, byte: int, length: int) -> Damage:
    why = f"unfinished, {length} bytes: still being written or arriving, or cut off"
    return Damage(file, line, byte, why, pending=True)


def _checked(line: bytes, previous: str, number: int) -> tuple[Entry, str]:
    """The entry on a line and the line's digest, which fits the one before."""
    body, stated = split_digest(line)
    if link(previous, body) != stated:
        raise DamagedLineError(
            _why_not(line, number), where="the digest", do="`stillroom check` says more."
        )
    return read_line(line), stated


def _why_not(line: bytes, number: int) -> str:
    """What may have broken a line whose digest does not fit."""
    try:
        stands_as = sequence_of(line)
    except DamagedLineError:
        stands_as = number
    if stands_as == number:
        return "Its digest does not fit its bytes and the line before it."
    return (
        f"Its digest does not fit: it is line {stands_as} and stands as line {number}, so "
        "lines were taken out, put in or moved."
    )


def _stated_digest(line: bytes) -> str | None:
    try:
        return split_digest(line)[1]
    except DamagedLineError:
        return None


def digest_at(book: Path, name: str, number: int) -> str | None:
    """The digest that stands at a line of a file, as the reader goes by it; None beyond it."""
    digest, count = GENESIS, 0
    with (book / "events" / name).open("rb") as file:
        for line in file:
            if count == number or not line.endswith(b"\n"):
                break
            count += 1
            digest = _stated_digest(bared(line[:-1], count)) or digest
    return digest if count == number else None


def still_begins_so(book: Path, mark: Mark, spoilt: set[int]) -> bool:
    """Whether the file still begins with the very lines that were read, none changed.

    Args:
        book: the book's folder.
        mark: how far the file was read, and the digest there.
        spoilt: the numbers of the lines that did not fit then either.
    """
    digest, number, left = GENESIS, 0, mark.read_to
    try:
        with (book / "events" / mark.file).open("rb") as file:
            for line in file:
                left -= len(line)
                if left < 0:
                    break
                number += 1
                bare = bared(line[:-1], number)
                body, stated = bare[:-77], bare[-66:-2].decode(errors="replace")
                if link(digest, body) != stated and number not in spoilt:
                    return False
                digest = stated if number not in spoilt else _stated_digest(bare) or digest
                if left == 0:
                    break
    except OSError:
        return False
    return left == 0 and (number, digest) == (mark.lines, mark.digest)


def read_places(book: Path, places: Sequence[Place]) -> list[bytes]:
    """The line at each place, in the order of the places."""
    lines: dict[Place, bytes] = {}
    for name in {place.file for place in places}:
        try:
            with (book / "events" / name).open("rb") as file:
                for place in (one for one in places if one.file == name):
                    file.seek(place.offset)
                    lines[place] = file.read(place.length)
        except OSError as reason:
            raise unreadable(name, str(reason.strerror)) from reason
    return [lines[place] for place in places]


def read_entries(book: Path, places: Sequence[Place]) -> list[Entry]:
    """The entry at each place, in the order of the places."""
    return [read_line(line) for line in read_places(book, places)]


def unreadable(file: str, why: str) -> BookError:
    """A file of the book that cannot be read."""
    return BookError(
        f"The file {file} of the book {UNREADABLE}: {why}.",
        where="the book's folder events; nothing was recorded",
        do="mend its permissions or the disk; `stillroom check` says what can be read.",
    )


def read_book(book: Path) -> tuple[list[Placed], list[Damage]]:
    """Every whole line of every file in the book."""
    placed: list[Placed] = []
    damages: list[Damage] = []
    for _, mark in sorted(marks(book).items()):
        read_on(book, mark, placed, damages)
    return placed, damages
