"""Seeded lines into the files of a book, without the gate: a million in half a minute."""

import contextlib
import random
from collections.abc import Iterable
from datetime import UTC, datetime
from pathlib import Path
from typing import BinaryIO, NamedTuple
from uuid import UUID

from tracker.core.facts.entry import Entry
from tracker.core.facts.kinds import AnyFact
from tracker.core.values.times import When
from tracker.journal.file_marks import GENESIS
from tracker.journal.line import write_line

END = datetime(2026, 11, 20, 8, tzinfo=UTC)  # when every seeded book ends


class Written(NamedTuple):
    """What a line says, but for its place in a file."""

    writer: str
    id: str
    subject: str
    when: When
    recorded: datetime
    fact: AnyFact


def write_files(place: Path, lines: Iterable[Written]) -> None:
    """Write lines into a new folder, each to the file of its writer, chained there."""
    place.mkdir(parents=True)
    ends: dict[str, tuple[int, str]] = {}
    with contextlib.ExitStack() as stack:
        files: dict[str, BinaryIO] = {}
        for line in lines:
            if line.writer not in files:
                path = place / f"{line.writer}.jsonl"
                files[line.writer] = stack.enter_context(path.open("xb"))
            before, digest = ends.get(line.writer, (0, GENESIS))
            own = before + 1
            entry = Entry(
                line.id, line.writer, own, line.subject, line.when, line.recorded, line.fact
            )
            written, digest = write_line(entry, digest)
            files[line.writer].write(written)
            ends[line.writer] = own, digest


def seeded_id(chance: random.Random) -> str:
    """The next id of an event."""
    return str(UUID(int=chance.getrandbits(128), version=4))
