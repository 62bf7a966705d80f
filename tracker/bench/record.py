"""The one way into the book: locked, read once, folded once, admitted, appended."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace

from tracker.bench.bench import Bench
from tracker.bench.open_book import OpenBook
from tracker.core.facts.entry import Entry
from tracker.core.rules.recorded import Draft, Recorded
from tracker.journal.append import append


@contextmanager
def opened(bench: Bench) -> Iterator[OpenBook]:
    """The book held open for recording; nothing is written before `commit`."""
    bench.check_is_book()
    with bench.locked():
        book = OpenBook(bench)
        try:
            yield book
        finally:
            book.close()


def commit(bench: Bench, book: OpenBook) -> dict[str, Entry]:
    """Append all that was admitted, all of it or none; returns the entries as written, by id."""
    if not book.entries:
        return {}
    written = append(bench.book, bench.writer, book.entries, bench.state / "set-aside")
    book.go_on(written)
    return {one.entry.id: one.entry for one in written.entries}


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
