"""The composition root: picks the real clock, book, writer, read model and lock."""

import os
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from copy import copy
from datetime import date, datetime
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING
from zlib import adler32, crc32

from tracker import clock
from tracker.bench.asked_book import AskedBook
from tracker.bench.event_ids import new_id
from tracker.bench.own_folders import own_folder
from tracker.bench.own_settings import book_in_use
from tracker.core.practice.practice import PRACTICE_FILE, Practice
from tracker.core.values.day_words import Present
from tracker.core.values.errors import BookError
from tracker.core.values.file_names import slug
from tracker.core.values.times import Toward, When, parse_when
from tracker.journal import own_head
from tracker.journal.model import read_model
from tracker.journal.model.read_model import ReadModel

if TYPE_CHECKING:
    from tracker.bench.writer import Writer

LOCK_WAIT_S = 20


class Bench(AskedBook):
    """One book at hand: what is on its shelf, and the only way to add to it."""

    def __init__(
        self,
        book: Path,
        *,
        named: bool = True,
        chosen: bool = False,
        cache: Path | None = None,
        state: Path | None = None,
        read_clock: Callable[[], datetime] | None = None,
        new_id: Callable[[], str] = new_id,
    ) -> None:
        where = os.fsencode(book.resolve())
        key = f"{slug(book.resolve().name) or 'writer'}-{crc32(where):08x}{adler32(where):08x}"
        cache = cache or Path(own_folder("cache"))
        self._state_root = state or Path(own_folder("state"))
        self.state = self._state_root / key
        file = cache / f"shelf-{key}-{read_model.LAYOUT}.sqlite"
        model = ReadModel(book, file, self.state / own_head.NAME)
        super().__init__(book, model, named=named, chosen=chosen)
        self._read_clock = read_clock
        self.new_id = new_id
        # What a person should hear beside the answer, whether it was recorded or refused.
        self.remarks: list[str] = []

    def fresh(self) -> "Bench":
        """The same bench with the practice read again, for one that stays up for months."""
        again = copy(self)
        again._asked = None
        again.remarks = []
        again.__dict__.pop("practice", None)
        return again

    @cached_property
    def practice(self) -> Practice:
        """The rules in force."""
        if not os.path.lexists(self.book / PRACTICE_FILE):
            return Practice()
        from tracker.config.practice_file import read_practice

        return read_practice(self.book)

    def now(self) -> datetime:
        """The present, in the maker's zone."""
        zone = clock.zone(self.practice.zone)
        return self._read_clock().astimezone(zone) if self._read_clock else clock.now(zone)

    def today(self) -> date:
        """The maker's day."""
        return self.now().date()

    @property
    def present(self) -> Present:
        """What days are said from: this year, and the practice's half of the earth."""
        return Present(self.today().year, self.practice.hemisphere)

    def when(self, text: str, *, where: str = "--when", toward: Toward = "past") -> When:
        """When a text means something happened, or will.

        Raises:
            AmbiguousDateError, MisusedError: it may be two days, or is none.
        """
        own = self.practice
        return parse_when(
            text, self.now(), own.hemisphere, where=where, toward=toward, dates=own.dates
        )

    @cached_property
    def written_by(self) -> "Writer":
        """The machine and person who record here, and the hash of that machine."""
        from tracker.bench.writer import writer_of

        found = writer_of(self._state_root, self.new_id)
        if found.remark is not None:
            self.remarks.append(found.remark)
        return found

    @property
    def writer(self) -> str:
        """The machine and person: the name of the one file appended to here."""
        return self.written_by.name

    @contextmanager
    def locked(self) -> Iterator[None]:
        """Keep every other command on this machine from recording between looking and writing.

        The folder of the events is made where it is missing, and goes again if it stays empty.
        """
        from tracker.bench.book_lock import HeldError, held

        self.must_be_where_chosen()
        with ExitStack() as lock:
            try:
                events, beside = self.book / "events", self.state / "recording.lock"
                lock.enter_context(held(events, beside=beside, timeout_s=LOCK_WAIT_S, make=True))
            except HeldError as reason:
                raise BookError(
                    f"Another stillroom has been recording for {LOCK_WAIT_S} seconds.",
                    where=f"{self.book}; nothing was recorded",
                    do="close it, or wait until it is done.",
                ) from reason
            except OSError as reason:
                raise BookError(
                    f"The book cannot be written to: {reason.strerror or reason}.",
                    where=f"{reason.filename or self.book}; nothing was recorded",
                    do="make sure that you may write in that folder, then repeat the command.",
                ) from reason
            yield


def bench_in_use() -> Bench:
    """The bench of the book that `begin` chose, or of the one in the platform's own place.

    Raises:
        ValueError: what was kept of that choice names no book.
    """
    where, is_chosen = book_in_use()
    return Bench(Path(where), named=False, chosen=is_chosen)
