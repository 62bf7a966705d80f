"""The entries at places of the book that were read before; they must say what they said."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from zlib import crc32

from tracker.core.facts.entry import Entry
from tracker.core.values.errors import BookError, ChangedLineError
from tracker.journal.book_file import opened
from tracker.journal.file_marks import Place
from tracker.journal.line import read_line

# Lines that stand so close together are read in one go.
_GAP_BYTES = 1 << 14


def read_entries(book: Path, places: Sequence[Place]) -> list[Entry]:
    """The entry at each place, in the order of the places.

    Raises:
        BookError: a file cannot be read.
        ChangedLineError: another line stands there than was read before.
    """
    entries: dict[Place, Entry] = {}
    for name in {place.file for place in places}:
        own = sorted({one for one in places if one.file == name}, key=lambda one: one.offset)
        try:
            with opened(book, name) as file:
                for run in _close_together(own):
                    start = run[0].offset
                    file.seek(start)
                    block = file.read(run[-1].offset + run[-1].length - start)
                    for one in run:
                        entries[one] = _entry_in(block, start, one)
        except OSError as reason:
            raise unreadable(name, f"cannot be read: {reason.strerror}") from reason
    return [entries[place] for place in places]


def _entry_in(block: bytes, start: int, place: Place) -> Entry:
    """The entry at a place, where the very line stands that was read before."""
    at = place.offset - start
    line = block[at : at + place.length]
    if crc32(line) != place.sum:
        raise ChangedLineError(place.file)
    return read_line(line)


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
