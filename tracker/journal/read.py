"""Reading the book: every file under `events/`, line by line, each digest checked."""

from collections.abc import Iterator, Sequence
from functools import partial
from hashlib import sha256
from pathlib import Path
from typing import NamedTuple

import msgspec

from tracker.core.facts.entry import Entry
from tracker.core.values.errors import BookError, DamagedLineError, StrangeLineError
from tracker.journal.book_file import (
    TooLong,
    is_too_long,
    lines_of,
    opened,
    passed_over,
    set_apart,
)
from tracker.journal.file_marks import GENESIS, Damage, DamageKind, Mark, Place, marks
from tracker.journal.line import (
    BOM,
    DIGEST,
    LONGEST_LINE_BYTES,
    UnitPlace,
    bared,
    link,
    read_line,
    read_placed,
    sequence_of,
    split_digest,
)


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

    Entries and damages are appended to the lists. What is not whole at the end of the file is
    not read, and the mark stays before it: a last line without its newline, or the lines of a
    unit whose last is not there. It is still being written, or was cut off.
    """
    reading = _Reading(mark, placed, damages)
    changed: set[str] = set()
    try:
        if (apart := set_apart(book, mark.file)) is not None:
            damages.append(apart)
            return mark
        with opened(book, mark.file) as file:
            file.seek(mark.read_to)
            for line in iter(partial(file.readline, LONGEST_LINE_BYTES), b""):
                if line[-1:] != b"\n":
                    if not (is_too_long(line) and reading.pass_over(passed_over(file, line))):
                        reading.end(len(line))
                        break
                elif line[-2:-1] == b"\r" or line[:3] == BOM:
                    changed |= reading.take_bared(line)
                else:
                    reading.take(line[:-1], 0, line)
            else:
                reading.end(0)
    except OSError as reason:
        at, why = reading.at, f"cannot be read: {reason.strerror}"
        damages.append(Damage(mark.file, at[1] + 1, at[0], why, "unreadable"))
        mark = mark.unread()
    damages += [Damage(mark.file, 1, 0, why, "additions") for why in sorted(changed)]
    offset, lines, digest, odd = reading.settled
    return msgspec.structs.replace(mark, read_to=offset, lines=lines, digest=digest, odd=odd)


# How far a file was read: offset, lines, digest, and what stands for the odd lines.
_At = tuple[int, int, str, str]


class _Reading:
    """One file being read: how far, how far for good, and the lines that wait for their unit."""

    def __init__(self, mark: Mark, placed: list[Placed], damages: list[Damage]) -> None:
        self._file, self._placed, self._damages = mark.file, placed, damages
        self.at: _At = (mark.read_to, mark.lines, mark.digest, mark.odd)
        self.settled = self.at
        self._waiting: list[tuple[Damage, Placed]] = []
        self._next: UnitPlace | None = None

    def take_bared(self, line: bytes) -> set[str]:
        """Read a line without what was put around it; what that was, in words."""
        bare = bared(line[:-1], self.at[1] + 1)
        if len(bare) == len(line) - 1:
            self.take(bare, 0, line)
            return set()
        self.take(bare, 0 if line.startswith(bare) else len(BOM), line)
        return _additions(line[:-1], bare)

    def take(self, bare: bytes, start: int, line: bytes) -> None:
        """Read the next whole line, of which the event begins at `start`."""
        offset, number, digest, odd = before = self.at
        number += 1
        if len(bare) != len(line) - 1:
            odd = _odder(odd, sha256(line).digest())
        try:
            entry, place, digest = _checked(bare, digest, number)
            self._place(Placed(entry, entry.id, self._file, offset + start, len(bare)), place)
        except StrangeLineError as strange:
            self._leave_out(strange.what, "apart")
            digest = bare[-66:-2].decode()
        except DamagedLineError as damage:
            self._leave_out(damage.what, "changed")
            digest = _stated_digest(bare) or digest
            if len(bare) == len(line) - 1:
                odd = _odder(odd, sha256(line).digest())
        self._go_on(before, (offset + len(line), number, digest, odd))

    def pass_over(self, line: TooLong) -> bool:
        """Leave out a line that is too long; False where the file ends within it."""
        if line.end[-1:] != b"\n":
            return False
        offset, number, digest, odd = before = self.at
        most = LONGEST_LINE_BYTES >> 20
        self._leave_out(
            f"It has {line.length} bytes; no line of a book has over {most} MiB.", "apart"
        )
        digest = _stated_digest(bared(line.end[:-1], 0)) or digest
        odd = _odder(odd, line.digest)
        self._go_on(before, (offset + line.length, number + 1, digest, odd))
        return True

    def _leave_out(self, why: str, kind: DamageKind) -> None:
        self._break_off()
        self._damages.append(Damage(self._file, self.at[1] + 1, self.at[0], why, kind))

    def _go_on(self, before: _At, after: _At) -> None:
        self.at = after
        if not self._waiting:
            self.settled = after
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
        lost = Damage(self._file, self.at[1] + 1, self.at[0], why, "apart")
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
        offset, number, *_ = self.settled
        what = []
        if self._waiting:
            what.append(f"{len(self._waiting)} lines of a longer unit")
        if torn:
            what.append(f"{torn} bytes")
        if what:
            why = f"unfinished, {' and '.join(what)}: still being written or arriving, or cut off"
            self._damages.append(Damage(self._file, number + 1, offset, why, "unfinished"))


def _odder(odd: str, line_digest: bytes) -> str:
    """What stands for the lines the chain does not hold, after one more of them."""
    return link(odd, line_digest)


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
    stated = line[-66:-2].decode("latin-1")
    if link(previous, line[:-77]) != stated or line[-77:-66] != DIGEST or line[-2:] != b'"}':
        split_digest(line)  # it may have none
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
    """The digest that stands at a line of a file, as the reader goes by it; None beyond it.

    Raises:
        OSError: the file cannot be read.
    """
    digest, count = GENESIS, 0
    with opened(book, name) as file:
        for line in lines_of(file):
            end = line.end if isinstance(line, TooLong) else line
            if count == number or end[-1:] != b"\n":
                break
            count += 1
            digest = _stated_digest(bared(end[:-1], count)) or digest
    return digest if count == number else None


def still_begins_so(book: Path, mark: Mark) -> bool:
    """Whether the file still begins with the very bytes that were read, none changed."""
    if mark.read_to == 0:
        return True
    digest, odd, number, left = GENESIS, "", 0, mark.read_to
    try:
        with opened(book, mark.file) as file:
            for line in lines_of(file):
                number += 1
                if isinstance(line, TooLong):
                    left -= line.length
                    digest = _stated_digest(bared(line.end[:-1], 0)) or digest
                    odd = _odder(odd, line.digest)
                else:
                    left -= len(line)
                    stated = line[-67:-3].decode("latin-1")
                    if (
                        line[-78:-67] == DIGEST
                        and line[-3:] == b'"}\n'
                        and (link(digest, line[:-78]) == stated)
                    ):
                        digest = stated
                    else:
                        digest = _stated_digest(bared(line[:-1], number)) or digest
                        odd = _odder(odd, sha256(line).digest())
                if left <= 0:
                    break
    except OSError:
        return False
    return left == 0 and (number, digest, odd) == (mark.lines, mark.digest, mark.odd)


# Lines that stand so close together are read in one go.
_GAP_BYTES = 1 << 14
# From a digest to the first byte of the line after it, CR LF included.
_LINE_END_BYTES = 79


def read_entries(book: Path, places: Sequence[Place]) -> list[Entry]:
    """The entry at each place, in the order of the places.

    Raises:
        BookError: a file cannot be read, or another line stands there than was read before.
    """
    entries: dict[Place, Entry] = {}
    for name in {place.file for place in places}:
        own = sorted({one for one in places if one.file == name}, key=lambda one: one.offset)
        try:
            with opened(book, name) as file:
                for run in _close_together(own):
                    start = max(run[0].offset - _LINE_END_BYTES, 0)
                    file.seek(start)
                    block = file.read(run[-1].offset + run[-1].length - start)
                    for one in run:
                        entries[one] = _entry_in(block, start, one)
        except OSError as reason:
            raise unreadable(name, f"cannot be read: {reason.strerror}") from reason
    return [entries[place] for place in places]


def _entry_in(block: bytes, start: int, place: Place) -> Entry:
    """The entry at a place, which is held to the end of the line before once more."""
    at = place.offset - start
    line = block[at : at + place.length]
    before = block[max(at - _LINE_END_BYTES, 0) : at].removesuffix(b"\n").removesuffix(b"\r")
    previous = GENESIS if place.offset <= len(BOM) else _stated_digest(before)
    try:
        body, stated = split_digest(line)
        if previous is None or link(previous, body) == stated:
            entry = read_line(line)
            if entry.id == place.event:
                return entry
    except DamagedLineError:
        pass
    raise BookError(
        "Another line stands there than when the book was read: it was changed since.",
        where=f"{place.file}, byte {place.offset}",
        do="`stillroom check` says more; a backup has the line as it was.",
    )


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


def unreadable(file: str, why: str) -> BookError:
    """A file of the book that cannot be read, and why not."""
    return BookError(
        f"The file {file} of the book {why}.",
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
