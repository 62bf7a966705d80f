"""The whole book read from the files: every line, every digest, every clock."""

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import NamedTuple

import msgspec

from tracker.core.facts.entry import Entry
from tracker.core.facts.kinds import Unknown
from tracker.core.rules.checks.days import CLOCK_SLACK
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.misfit import StillToCome, UnknownKind, WrittenAhead
from tracker.garbage import no_garbage_collection
from tracker.journal.file_marks import Damage, Mark, marks
from tracker.journal.file_parts import cores, parts_of
from tracker.journal.read import Reading


@dataclass(frozen=True, slots=True)
class Report:
    """What a check of the whole book found."""

    files: list[Mark] = field(default_factory=list)
    damages: list[Damage] = field(default_factory=list)
    early: list[Flag] = field(default_factory=list)
    unknown: list[Flag] = field(default_factory=list)

    @property
    def lines(self) -> int:
        """How many lines the book holds, damaged ones included."""
        return sum(one.lines for one in self.files)

    @property
    def is_whole(self) -> bool:
        """Whether everything that was written is there."""
        return not any(one.counts for one in self.damages)


def check(book: Path, gone: Sequence[Damage], now: datetime) -> Report:
    """Read every file from its first byte.

    Args:
        book: the book's folder.
        gone: what the read model misses from the ends of files.
        now: the present.
    """
    # In UTC, as lines are: a zone with rules takes longer to compare with than a line to read.
    limit = (now + CLOCK_SLACK).astimezone(UTC)
    read = [_file(book, mark, limit) for _, mark in sorted(marks(book).items())]
    return Report(
        [one.mark for one in read],
        [*(damage for one in read for damage in one.damages), *gone],
        [flag for one in read for flag in one.early],
        [flag for one in read for flag in one.unknown],
    )


class _Read(NamedTuple):
    """What a file, or a part of one, was found to hold."""

    mark: Mark
    damages: list[Damage]
    early: list[Flag]
    unknown: list[Flag]


def _file(book: Path, mark: Mark, limit: datetime) -> _Read:
    """One file, a long one by all cores at once."""
    # Where a system starts no other processes, or ends one, all is read here.
    with suppress(OSError, ImportError, RuntimeError):
        parts = parts_of(book, mark, cores())
        if len(parts) > 1 and (whole := _in_parts(book, parts, limit)) is not None:
            return whole
    return _part(book, mark, limit, None)


def _in_parts(book: Path, parts: list[Mark], limit: datetime) -> _Read | None:
    """The parts of a file as one; None where anything is odd, and it has to be read in order."""
    from concurrent.futures import ProcessPoolExecutor

    ends = [*(one.read_to for one in parts[1:]), None]
    with ProcessPoolExecutor(len(parts) - 1) as others:
        asked = [
            others.submit(_part, book, mark, limit, end)
            for mark, end in zip(parts[1:], ends[1:], strict=True)
        ]
        read = [_part(book, parts[0], limit, ends[0]), *(one.result() for one in asked)]
    for one, following in zip(read, [*parts[1:], None], strict=True):
        leads_on = following is None or _leads_to(one.mark, following)
        if one.damages or one.mark.odd or one.mark.is_unread or not leads_on:
            return None
    lines = sum(one.mark.lines for one in read)
    return _Read(
        msgspec.structs.replace(read[-1].mark, lines=lines),
        [],
        [flag for one in read for flag in one.early],
        [flag for one in read for flag in one.unknown],
    )


def _leads_to(mark: Mark, following: Mark) -> bool:
    return (mark.read_to, mark.digest) == (following.read_to, following.digest)


def _part(book: Path, mark: Mark, limit: datetime, end: int | None) -> _Read:
    """A file from a mark on, to its end or to where the next part begins."""
    found = _Read(mark, [], [], [])
    reading = Reading(book, mark, found.damages, end=end)
    with no_garbage_collection():
        for taken in reading.lines():
            for one in taken:
                entry = one[0]
                if entry.recorded > limit or entry.when.start > limit:
                    found.early.extend(_early(entry, limit))
                if type(entry.fact) is Unknown:
                    found.unknown.append(Flag(entry.id, UnknownKind(entry.kind)))
    return found._replace(mark=reading.mark)


def _early(entry: Entry, limit: datetime) -> list[Flag]:
    """How a line is ahead of the clock, if it is."""
    if entry.recorded > limit:
        return [Flag(entry.id, WrittenAhead(entry.recorded))]
    is_known = entry.when.precision != "unknown"
    return [Flag(entry.id, StillToCome(entry.when))] if is_known else []
