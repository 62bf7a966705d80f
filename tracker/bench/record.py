"""The one way into the book: locked, read once, folded once, admitted, appended."""

import sqlite3
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress

from msgspec.structs import replace

from tracker.bench.bench import Bench
from tracker.bench.interrupts import uninterrupted
from tracker.bench.open_book import OpenBook
from tracker.core.facts.entry import Entry
from tracker.core.rules.recorded import Draft, Recorded
from tracker.core.values.errors import TrackerError
from tracker.journal.append import Written, append
from tracker.journal.own_head import NAME, OwnEnd, own_ends, remember
from tracker.journal.seen_before import digest_at


@contextmanager
def opened(bench: Bench) -> Iterator[OpenBook]:
    """The book held open for recording; nothing is written before `commit`."""
    bench.check_is_book()
    with bench.locked():
        book = OpenBook(bench)
        try:
            yield book
        finally:
            with suppress(sqlite3.Error):
                book.close()


def commit(bench: Bench, book: OpenBook) -> dict[str, Entry]:
    """Append all that was admitted, all of it or none; returns the entries as written, by id.

    Once they are on the disk nothing becomes a refusal: what fails then is a remark of the bench.
    """
    if not book.entries:
        return {}
    with uninterrupted():
        known = own_ends(bench.state / NAME)
        least = None if book.is_sure_of_older_copy else known.get(f"{bench.writer}.jsonl")
        spare = bench.state / "set-aside"
        written = append(bench.book, bench.writer, book.entries, spare, least)
        with _remarked(bench):
            _remember(bench, known, written, is_older_copy=book.is_sure_of_older_copy)
        with _remarked(bench):
            book.go_on(written)
    return {one.entry.id: one.entry for one in written.entries}


@contextmanager
def _remarked(bench: Bench) -> Iterator[None]:
    """What fails in the block is said beside the answer, and refuses nothing."""
    try:
        yield
    except Exception as reason:
        bench.remarks.append(also_failed(reason))


def _remember(
    bench: Bench, known: Mapping[str, OwnEnd], written: Written, *, is_older_copy: bool
) -> None:
    """Keep the new end of the file, unless it stands on an older copy: what is gone is missed."""
    before, mark = written.before, written.mark
    old = known.get(mark.file)
    if old is not None:
        if old.reaches_beyond(before.lines, before.digest):
            return
        if is_older_copy and digest_at(bench.book, old.file, old.lines) != old.digest:
            return  # it has grown past the line that it lost
    machine = bench.written_by.machine
    end = OwnEnd(mark.file, mark.lines, mark.digest, mark.mtime_ns, machine)
    remember(bench.state / NAME, end, known.values())


def also_failed(reason: BaseException) -> str:
    """What is said of something that failed once all was recorded."""
    what = " ".join(str(reason).split()) or type(reason).__name__
    if isinstance(reason, OSError):
        what = f"{reason.strerror or what}: {reason.filename}" if reason.filename else what
    elif not isinstance(reason, TrackerError):
        what = f"{type(reason).__name__}: {what}"
    return f"It is recorded, but what comes after recording failed ({what})."


def record(bench: Bench, drafts: Sequence[Draft], *, sure: bool = False) -> Recorded:
    """Write drafts to the book, all or none.

    Args:
        bench: whose book it is.
        drafts: what is to be recorded, in this order.
        sure: whether the questions of the gate are answered with yes.

    Returns:
        The entries, the things before and after, and the warnings of the gate.

    Raises:
        RefusedError, MisusedError: the gate said no; nothing was written.
        AskedError: the gate asks, and the answer is not known; nothing was written.
        BookError: the disk refused; nothing was written.
    """
    with opened(bench) as book:
        recorded = book.add(drafts, sure=sure)
        return as_written(recorded, commit(bench, book))


def as_written(recorded: Recorded, written: dict[str, Entry]) -> Recorded:
    """The same with the numbers that the lines have in the book."""
    entries = tuple(written.get(one.id, one) for one in recorded.entries)
    return replace(recorded, entries=entries)
