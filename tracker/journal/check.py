"""The whole book read from the files: every line, every digest, every clock."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from tracker.core.facts.entry import Entry
from tracker.core.facts.kinds import Unknown
from tracker.core.rules.checks.days import CLOCK_SLACK
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.misfit import StillToCome, UnknownKind, WrittenAhead
from tracker.garbage import no_garbage_collection
from tracker.journal.file_marks import Damage, Mark, marks
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
    damages: list[Damage] = []
    files, early, unknown = [], [], []
    limit = now + CLOCK_SLACK
    with no_garbage_collection():
        for _, mark in sorted(marks(book).items()):
            reading = Reading(book, mark, damages)
            for taken in reading.lines():
                for one in taken:
                    entry = one[0]
                    if entry.recorded > limit or entry.when.start > limit:
                        early += _early(entry, limit)
                    if type(entry.fact) is Unknown:
                        unknown.append(Flag(entry.id, UnknownKind(entry.kind)))
            files.append(reading.mark)
    return Report(files, [*damages, *gone], early, unknown)


def _early(entry: Entry, limit: datetime) -> list[Flag]:
    """How a line is ahead of the clock, if it is."""
    if entry.recorded > limit:
        return [Flag(entry.id, WrittenAhead(entry.recorded))]
    is_known = entry.when.precision != "unknown"
    return [Flag(entry.id, StillToCome(entry.when))] if is_known else []
