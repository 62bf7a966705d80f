"""A book as it would be with some lines more: tried out beside it, and then thrown away."""

import os
import shutil
import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

from tracker.core.facts.entry import Entry
from tracker.core.values.errors import BookError
from tracker.journal.file_marks import GENESIS, Place, marks
from tracker.journal.line import write_line
from tracker.journal.read import read_entries, unreadable
from tracker.journal.read_model import ReadModel, last_number
from tracker.journal.refresh import catch_up

# A file that has grown is held to its old digests from its first line on, at every look: so
# the lines added stand in files of so many.
_FILE_LINES = 64


class _Held(sqlite3.Connection):
    """A model in memory, which is gone once it is closed: so those who ask cannot."""

    def close(self) -> None:
        """Leave it open."""

    def end(self) -> None:
        """Really close it."""
        super().close()


class _HeldModel(ReadModel, frozen=True):
    held: _Held

    def connect(self) -> sqlite3.Connection:
        """The one connection there is; what was added is in it already."""
        return self.held


class Trial:
    """The book in a folder of its own, its files linked and not copied, and a model of it."""

    def __init__(self, model: ReadModel, folder: Path) -> None:
        self.book = folder
        self._held = sqlite3.connect(":memory:", isolation_level=None, factory=_Held)
        with closing(model.connect()) as kept:
            kept.backup(self._held)
        (folder / "events").mkdir()
        for name in marks(model.book):
            _link(model.book, folder, name)
        self.model: ReadModel = _HeldModel(folder, folder / "none.sqlite", self._held)
        self._lines, self._file, self._digest = 0, 0, GENESIS
        self._read: dict[Place, Entry] = {}

    def entries_at(self, places: Sequence[Place]) -> list[Entry]:
        """The entries at these places, each read once: a page comes back to the same jars."""
        unread = [place for place in places if place not in self._read]
        self._read.update(zip(unread, read_entries(self.book, unread), strict=True))
        return [self._read[place] for place in places]

    def add(self, entries: Sequence[Entry]) -> None:
        """Go on as if these had been recorded, after all that was added before.

        Raises:
            BookError: the files of the book are not what they were.
        """
        self._lines += len(entries)
        number = self._lines // _FILE_LINES
        if number != self._file:
            self._file, self._digest = number, GENESIS
        blob = bytearray()
        first = last_number(self._held, entries[0].source) + 1 if entries else 1
        for place, entry in enumerate(entries, first):
            line, self._digest = write_line(replace(entry, sequence=place), self._digest)
            blob += line
        # No writer's name has a plus sign in it.
        with (self.book / "events" / f"+{number}.jsonl").open("ab") as file:
            file.write(blob)
        if not catch_up(self._held, self.book, lambda _, places: self.entries_at(places)):
            raise BookError(
                "Another program changed the book meanwhile.",
                where="the book's folder events; nothing was recorded",
                do="pause the synchronising program, then say it again.",
            )

    def end(self) -> None:
        """Let go of the model."""
        self._held.end()


@contextmanager
def tried(model: ReadModel) -> Iterator[Trial]:
    """A trial of one book, whose recording lock the caller holds."""
    with _folder(model) as name:
        trial = Trial(model, Path(name))
        try:
            yield trial
        finally:
            trial.end()


def _folder(model: ReadModel) -> "TemporaryDirectory[str]":
    """A folder beside the model, most likely on the disk of the book, so that links do."""
    beside, prefix = model.file.parent, f"trial-{model.file.stem}-"
    try:
        beside.mkdir(mode=0o700, parents=True, exist_ok=True)
        for left_by_a_kill in beside.glob(f"{prefix}*"):
            shutil.rmtree(left_by_a_kill, ignore_errors=True)
        return TemporaryDirectory(prefix=prefix, dir=beside)
    except OSError:
        return TemporaryDirectory(prefix=prefix)


def _link(book: Path, folder: Path, name: str) -> None:
    here, there = book / "events" / name, folder / "events" / name
    try:
        os.link(here, there, follow_symlinks=False)
    except (OSError, NotImplementedError):
        try:
            shutil.copy2(here, there)
        except OSError as reason:
            raise unreadable(name, str(reason.strerror)) from reason
