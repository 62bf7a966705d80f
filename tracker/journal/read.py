"""Reading the book: every file under `events/`, line by line, each digest checked."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import NamedTuple
from zlib import crc32

import msgspec

from tracker.core.facts.entry import Entry
from tracker.core.values.errors import BookError, ChangedLineError, DamagedLineError
from tracker.journal.file_marks import GENESIS, UNREADABLE, Damage, Mark, Place, marks
from tracker.journal.line import (
    BOM,
    UnitPlace,
    bared,
    link,
    read_line,
    read_placed,
    sequence_of,
    split_digest,
)


class Placed(NamedTuple):
    """An entry and where its line stands, with the sum of its bytes."""

    entry: Entry
    event: str
    file: str
    offset: int
    length: int
    sum: int

    @property
    def place(self) -> Place:
        """Where its line stands."""
        return Place(*self[1:])


def read_on(book: Path, mark: Mark, placed: list[Placed], damages: list[Damage]) -> Mark:
    """Read a file on from where `mark` ends; returns the new mark.

    Entries and damages are appended to the lists. What is not whole at the end of the file is
    not read, and the mark stays before it: a last line without its newline, or the lines of a
    unit whose last is not there. It is still being written, or was cut off.
    """
    reading = _Reading(mark, placed, damages)
    changed: set[str] = set()
    try:
        with (book / "events" / mark.file).open("rb") as file:
            file.seek(mark.read_to)
            for line in file:  # a binary file's lines end at \n and nowhere else
                if not line.endswith(b"\n"):
                    reading.end(len(line))
                    break
                bare, start = line[:-1], 0
                if bare[-1:] == b"\r" or bare[:3] == BOM:
                    bare = bared(bare, reading.number + 1)
                    start = line.index(bare)
                    changed |= _additions(line[:-1], bare)
                reading.take(bare, start, len(line))
            else:
                reading.end(0)
    except OSError as reason:
        why = f"{UNREADABLE}: {reason.strerror}"
        damages.append(Damage(mark.file, reading.number + 1, reading.offset, why))
        mark = mark.unread()
    damages += [Damage(mark.file, 1, 0, why, harmless=True) for why in sorted(changed)]
    offset, number, digest = reading.settled
    return msgspec.structs.replace(mark, read_to=offset, lines=number, digest=digest)


class _Reading:
    """One file being read: how far, how far for good, and the lines that wait for their unit."""

    def __init__(self, mark: Mark, placed: list[Placed], damages: list[Damage]) -> None:
        self._file, self._placed, self._damages = mark.file, placed, damages
        self.offset, self.number, self._digest = mark.read_to, mark.lines, mark.digest
        self.settled = (self.offset, self.number, self._digest)
        self._waiting: list[tuple[Damage, Placed]] = []
        self._next: UnitPlace | None = None

    def take(self, bare: bytes, start: int, length: int) -> None:
        """Read the next whole line, of which the event begins at `start`."""
        before = (self.offset, self.number, self._digest)
        self.number += 1
        try:
            entry, at, self._digest = _checked(bare, self._digest, self.number)
            where = (self._file, self.offset + start, len(bare), crc32(bare))
            one = Placed(entry, entry.id, *where)
            self._place(one, at)
        except DamagedLineError as damage:
            self._break_off()
            self._damages.append(Damage(self._file, self.number, self.offset, damage.what))
            self._digest = _stated_digest(bare) or self._digest
        self.offset += length
        if not self._waiting:
            self.settled = (self.offset, self.number, self._digest)
        elif len(self._waiting) == 1:
            self.settled = before

    def _place(self, one: Placed, at: UnitPlace | None) -> None:
        """Keep a line, or have it wait until all of its unit are there."""
        if self._waiting and at != self._next:
            self._break_off()
        if at is None:
            self._placed.append(one)
            return
        why = f"It is {at.place} of {at.size} lines of one command, and not all are there."
        lost = Damage(self._file, self.number, self.offset, why)
        if at.place > 1 and not self._waiting:
            self._damages.append(lost)
            return
        self._waiting.append((lost, one))
        self._next = at.next
        if at.is_last:
            self._placed += [one for _, one in self._waiting]
            self._waiting.clear()

    def _break_off(self) -> None:
        """No more of the unit follows, so none of its lines counts."""
        self._damages += [damage for damage, _ in self._waiting]
        self._waiting.clear()

    def end(self, torn: int) -> None:
        """Note what the file ends in that is not whole, so many bytes of a line among it."""
        offset, number, _ = self.settled
        what = []
        if self._waiting:
            what.append(f"{len(self._waiting)} lines of a longer unit")
        if torn:
            what.append(f"{torn} bytes")
        if what:
            why = f"unfinished, {' and '.join(what)}: still being written or arriving, or cut off"
            self._damages.append(Damage(self._file, number + 1, offset, why, pending=True))


def _additions(line: bytes, bare: bytes) -> set[str]:
    """What an editor or a transfer put around a line, in words."""
    said = set()
    if line.startswith(BOM) and not bare.startswith(BOM):
        said.add("begins with a byte order mark, which an editor put there; read without it")
    if line.endswith(b"\r") and not bare.endswith(b"\r"):
        said.add("ends lines with CR LF, as an editor or a transfer does; read without the CR")
    return said


def _checked(line: bytes, previous: str, number: int) -> tuple[Entry, UnitPlace | None, str]:
    """The entry on a line, its place in its unit, and its digest, which fits the one before."""
    body, stated = split_digest(line)
    if link(previous, body) != stated:
        raise DamagedLineError(
            _why_not(line, number), where="the digest", do="`stillroom check` says more."
        )
    return (*read_placed(line), stated)


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


# Lines that stand so close together are read in one go.
_GAP_BYTES = 1 << 14


def read_places(book: Path, places: Sequence[Place]) -> list[bytes]:
    """The line at each place, in the order of the places.

    Raises:
        ChangedLineError: another line stands there now.
    """
    lines: dict[Place, bytes] = {}
    for name in {place.file for place in places}:
        own = sorted({one for one in places if one.file == name}, key=lambda one: one.offset)
        try:
            with (book / "events" / name).open("rb", buffering=0) as file:
                for run in _close_together(own):
                    start, end = run[0].offset, run[-1].offset + run[-1].length
                    file.seek(start)
                    block = file.read(end - start)
                    for one in run:
                        line = block[one.offset - start :][: one.length]
                        if crc32(line) != one.sum:
                            raise ChangedLineError(name)
                        lines[one] = line
        except OSError as reason:
            raise unreadable(name, str(reason.strerror)) from reason
    return [lines[place] for place in places]


def _close_together(places: Sequence[Place]) -> Iterator[list[Place]]:
    """Places in the order of one file, in runs without a long gap."""
    run: list[Place] = []
    for place in places:
        if run and place.offset - (run[-1].offset + run[-1].length) > _GAP_BYTES:
            yield run
            run = []
        run.append(place)
    if run:
        yield run


def read_entries(book: Path, places: Sequence[Place]) -> list[Entry]:
    """The entry at each place, in the order of the places."""
    return [read_line(line) for line in read_places(book, places)]


def unreadable(file: str, why: str) -> BookError:
    """A file of the book that cannot be read."""
    return BookError(
        f"The file {file} of the book {UNREADABLE}: {why}.",
        where="the book's folder events; nothing was recorded",
        do="repair its permissions or the disk; `stillroom check` lists what can be read.",
    )


def read_book(book: Path) -> tuple[list[Placed], list[Damage]]:
    """Every whole line of every file in the book."""
    placed: list[Placed] = []
    damages: list[Damage] = []
    for _, mark in sorted(marks(book).items()):
        read_on(book, mark, placed, damages)
    return placed, damages
