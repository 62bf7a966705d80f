"""Reading the book: every file under `events/`, line by line, each digest checked."""

from collections.abc import Callable, Iterator
from functools import partial
from hashlib import sha256
from pathlib import Path
from typing import BinaryIO, NamedTuple
from zlib import crc32

import msgspec

from tracker.core.facts.entry import Entry
from tracker.core.values.errors import (
    DamagedLineError,
    StrangeLineError,
)
from tracker.journal.book_file import (
    TooLong,
    is_too_long,
    opened,
    passed_over,
    set_apart,
    up_to,
)
from tracker.journal.file_marks import (
    LINES_IN_A_STEP,
    Damage,
    DamageKind,
    Mark,
    Place,
    Step,
    is_a_step,
    marks,
)
from tracker.journal.line import (
    BOM,
    DIGEST,
    LONGEST_LINE_BYTES,
    UnitPlace,
    bared,
    link,
    read_placed,
    sequence_of,
    split_digest,
)


class Placed(NamedTuple):
    """An entry and where its line stands, with the sum of its bytes."""

    entry: Entry
    file: str
    offset: int
    length: int
    sum: int

    @property
    def place(self) -> Place:
        """Where its line stands."""
        return Place(*self[1:])


# An entry, and where its line stands in the file: offset, length and sum. A plain tuple, since
# one is made of every line of the book.
Taken = tuple[Entry, int, int, int]
# How far a file was read: offset, lines, digest, and what stands for the odd lines.
_At = tuple[int, int, str, str]
# So many lines are handed on at once.
_AT_ONCE = 1024


def read_on(book: Path, mark: Mark, placed: list[Placed], damages: list[Damage]) -> Mark:
    """Read a file on from where `mark` ends; returns the new mark.

    Entries and damages are appended to the lists; see `Reading`.
    """
    reading = Reading(book, mark, damages)
    for taken in reading.lines():
        placed += [Placed(entry, mark.file, *where) for entry, *where in taken]
    return reading.mark


class Reading:
    """One file read on from a mark, some lines at a time.

    What is not whole at the end of the file is not read, and the mark stays before it: a last
    line without its newline, or the lines of a unit whose last is not there. It is still being
    written, or was cut off.

    Args:
        book: the book's folder.
        mark: how far the file was read before; once all lines were handed on, how far it is now.
        damages: what is found to be not as written is appended here.
        at_once: how many lines are handed on together.
        end: where reading stops before the end of the file: at the beginning of a line.
    """

    def __init__(
        self,
        book: Path,
        mark: Mark,
        damages: list[Damage],
        at_once: int = _AT_ONCE,
        end: int | None = None,
    ) -> None:
        self.mark = mark
        self._at_once, self._stop = at_once, end
        self._book, self._file, self._damages = book, mark.file, damages
        self._at: _At = (mark.read_to, mark.lines, mark.digest, mark.odd)
        self._settled = self._at
        self._taken: list[Taken] = []
        self._waiting: list[tuple[Damage, Taken]] = []
        self._next: UnitPlace | None = None
        # Where reading can begin as well, every so many lines, in their order.
        self.steps: list[Step] = []
        self.in_step = True  # whether each line has the number of its place

    @property
    def settled_lines(self) -> int:
        """How many lines were read for good."""
        return self._settled[1]

    def lines(self) -> Iterator[list[Taken]]:
        """What the lines say, in their order."""
        changed: set[str] = set()
        mark = self.mark
        try:
            if (apart := set_apart(self._book, self._file)) is not None:
                self._damages.append(apart)
                return
            with self._opened() as file:
                file.seek(mark.read_to)
                read = partial(file.readline, LONGEST_LINE_BYTES)
                while True:
                    line = read() if self._waiting else self._plain(read)
                    if line is None or len(self._taken) >= self._at_once:
                        yield self._handed_on()
                    if line is None:
                        continue
                    if line[-1:] != b"\n":
                        if not (is_too_long(line) and self._pass_over(passed_over(file, line))):
                            self._end(len(line))
                            break
                    elif line[-2:-1] == b"\r" or line[:3] == BOM:
                        changed |= self._take_bared(line)
                    else:
                        self._take(line[:-1], 0, line)
        except OSError as reason:
            offset, number, *_ = self._at
            why = f"cannot be read: {reason.strerror}"
            self._damages.append(Damage(mark.file, number + 1, offset, why, "unreadable"))
            mark = mark.unread()
        self._damages += [Damage(mark.file, 1, 0, why, "additions") for why in sorted(changed)]
        offset, lines, digest, odd = self._settled
        self.mark = msgspec.structs.replace(
            mark, read_to=offset, lines=lines, digest=digest, odd=odd
        )
        if self._taken:
            yield self._handed_on()

    def _opened(self) -> BinaryIO:
        file = opened(self._book, self._file)
        return file if self._stop is None else up_to(file, self._stop)

    def _handed_on(self) -> list[Taken]:
        taken, self._taken = self._taken, []
        return taken

    def _take_bared(self, line: bytes) -> set[str]:
        """Read a line without what was put around it; what that was, in words."""
        bare = bared(line[:-1], self._at[1] + 1)
        if len(bare) == len(line) - 1:
            self._take(bare, 0, line)
            return set()
        self._take(bare, 0 if line.startswith(bare) else len(BOM), line)
        return _additions(line[:-1], bare)

    def _plain(self, read: Callable[[], bytes]) -> bytes | None:
        """Take lines that fit the one before them and stand by themselves, as nearly all do.

        Returns:
            The first line that does not, empty at the end of the file; None once enough are taken.
        """
        offset, number, digest, odd = self._at
        taken, previous = self._taken, digest.encode()
        line: bytes | None = None
        while len(taken) < self._at_once:
            line = read()
            stated = line[-67:-3]
            if line[-78:-67] != DIGEST or line[-3:] != b'"}\n':
                break
            if sha256(previous + line[:-78]).hexdigest().encode() != stated:
                break
            bare = line[:-1]
            try:
                entry, place = read_placed(bare)
            except StrangeLineError:
                break
            if place is not None:
                break
            number += 1
            taken.append((entry, offset, len(bare), crc32(bare)))
            offset += len(line)
            previous, line = stated, None
            if entry.sequence != number:
                self.in_step = False
            if not number % LINES_IN_A_STEP:
                self.steps.append(Step(offset, number, stated.decode("latin-1"), odd))
        self._at = self._settled = offset, number, previous.decode("latin-1"), odd
        return line

    def _take(self, bare: bytes, start: int, line: bytes) -> None:
        """Read the next whole line, of which the event begins at `start`."""
        offset, number, digest, odd = before = self._at
        number += 1
        if len(bare) != len(line) - 1:
            odd = odder(odd, sha256(line).digest())
        try:
            entry, place, digest = _checked(bare, digest, number)
            if entry.sequence != number:
                self.in_step = False
            self._place((entry, offset + start, len(bare), crc32(bare)), place)
        except StrangeLineError as strange:
            self._leave_out(strange.what, "apart")
            digest = bare[-66:-2].decode()
        except DamagedLineError as damage:
            self._leave_out(damage.what, "changed")
            digest = stated_digest(bare) or digest
            if len(bare) == len(line) - 1:
                odd = odder(odd, sha256(line).digest())
        self._go_on(before, (offset + len(line), number, digest, odd))

    def _pass_over(self, line: TooLong) -> bool:
        """Leave out a line that is too long; False where the file ends within it."""
        if line.end[-1:] != b"\n":
            return False
        offset, number, digest, odd = before = self._at
        most = LONGEST_LINE_BYTES >> 20
        self._leave_out(
            f"It has {line.length} bytes; no line of a book has over {most} MiB.", "apart"
        )
        digest = stated_digest(bared(line.end[:-1], 0)) or digest
        odd = odder(odd, line.digest)
        self._go_on(before, (offset + line.length, number + 1, digest, odd))
        return True

    def _leave_out(self, why: str, kind: DamageKind) -> None:
        self._break_off()
        offset, number, *_ = self._at
        self._damages.append(Damage(self._file, number + 1, offset, why, kind))

    def _go_on(self, before: _At, after: _At) -> None:
        self._at = after
        if not self._waiting:
            self._settle(after)
        elif len(self._waiting) == 1:
            self._settle(before)

    def _settle(self, at: _At) -> None:
        """What is before this is read for good; a step, where that is enough lines further."""
        if is_a_step(self._settled[1], at[1]):
            self.steps.append(Step(*at))
        self._settled = at

    def _place(self, one: Taken, at: UnitPlace | None) -> None:
        """Keep a line, or have it wait until all of its unit are there."""
        if self._waiting and at != self._next:
            self._break_off()
        if at is None:
            self._taken.append(one)
            return
        why = f"It is {at.place} of {at.size} lines of one command, and not all are there."
        offset, number, *_ = self._at
        lost = Damage(self._file, number + 1, offset, why, "apart")
        if at.place > 1 and not self._waiting:
            self._damages.append(lost)
            return
        self._waiting.append((lost, one))
        self._next = at.next
        if at.is_last:
            self._taken += [one for _, one in self._waiting]
            self._waiting.clear()

    def _break_off(self) -> None:
        """No more of the unit follows, so none of its lines counts."""
        self._damages += [damage for damage, _ in self._waiting]
        self._waiting.clear()

    def _end(self, torn: int) -> None:
        """Note what the file ends in that is not whole, so many bytes of a line among it."""
        offset, number, *_ = self._settled
        what = []
        if self._waiting:
            what.append(f"{len(self._waiting)} lines of a longer unit")
        if torn:
            what.append(f"{torn} bytes")
        if what:
            why = f"unfinished, {' and '.join(what)}: still being written or arriving, or cut off"
            self._damages.append(Damage(self._file, number + 1, offset, why, "unfinished"))


def odder(odd: str, line_digest: bytes) -> str:
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


def stated_digest(line: bytes) -> str | None:
    """The digest a line ends in, whether it fits or not; None where it ends in none."""
    try:
        return split_digest(line)[1]
    except DamagedLineError:
        return None


def read_book(book: Path) -> tuple[list[Placed], list[Damage]]:
    """Every whole line of every file in the book."""
    placed: list[Placed] = []
    damages: list[Damage] = []
    for _, mark in sorted(marks(book).items()):
        read_on(book, mark, placed, damages)
    return placed, damages
