"""A verified copy of the book, and whether the book still contains an old one.

A copy has the shape of a book. Restoring is copying its files back.
"""

from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from tracker.core.values.errors import BookError
from tracker.journal.file_marks import Damage, Mark, marks
from tracker.journal.read import read_book, read_on
from tracker.journal.whole_file import write_whole

_OTHERS = ("practice.toml",)


@dataclass(frozen=True, slots=True)
class Compared:
    """One writer's file in the book and in a copy: what each has that the other has not."""

    file: str
    lines: int  # in the copy
    only_book: int
    only_copy: int


def compare(book: Path, copy: Path) -> list[Compared]:
    """Every file of either, line by line.

    Raises:
        BookError: one of them cannot be read.
    """
    names = sorted(marks(book).keys() | marks(copy).keys())
    return [_compared(name, _lines(book, name), _lines(copy, name)) for name in names]


def _lines(book: Path, name: str) -> list[bytes]:
    """The lines of a file up to what it ends in that is not whole; none where it is not there."""
    try:
        text = (book / "events" / name).read_bytes()
    except FileNotFoundError:
        return []
    except OSError as reason:
        raise _refused(book / "events" / name, reason, "read") from reason
    end = read_on(book, Mark(name, 0, 0, 0), [], []).read_to
    return text[:end].split(b"\n")[:-1]


def _compared(name: str, here: list[bytes], there: list[bytes]) -> Compared:
    same = 0
    for one, other in zip(here, there, strict=False):
        if one != other:
            break
        same += 1
    return Compared(name, len(there), len(here) - same, len(there) - same)


def damages_of(copy: Path) -> list[Damage]:
    """Every line of a copy that is not as it was written."""
    return [damage for damage in read_book(copy)[1] if damage.counts]


def back_up(book: Path, copy: Path) -> int:
    """Copy every file of the book, sync each, read it again and compare.

    An earlier copy in the folder is brought up to date, if the book still contains it.

    Returns:
        How many files were copied.

    Raises:
        BookError: the folder holds other things or lines that the book has not, or a file
            cannot be copied as it is. What was there before is still there.
    """
    _must_be_fit(book, copy)
    try:
        copy.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as reason:
        raise _refused(copy, reason, "written") from reason
    wanted = [Path("events") / name for name in sorted(marks(book))]
    wanted += [Path(name) for name in _OTHERS if (book / name).is_file()]
    for name in wanted:
        try:
            _copied(book / name, copy / name)
        except OSError as reason:
            raise _refused(copy / name, reason, "written") from reason
    return len(wanted)


def _must_be_fit(book: Path, copy: Path) -> None:
    if copy.resolve().is_relative_to(book.resolve()):
        raise BookError(
            "A copy inside the book is lost with it.",
            where=str(copy),
            do="name a folder elsewhere, best on another disk.",
        )
    if copy.exists() and (not copy.is_dir() or _holds_other_things(copy)):
        raise BookError(
            "There is something else there, and nothing is written over it.",
            where=str(copy),
            do="name a new folder, or one that holds an earlier copy.",
        )
    more = [one for one in compare(book, copy) if one.only_copy]
    if more:
        raise BookError(
            f"The copy there holds {more[0].only_copy} lines of {more[0].file} that the book "
            "has not: they were removed or changed in the book since.",
            where=f"{copy}; nothing was copied",
            do="`stillroom backup DIR --verify` says more; name a new folder to keep both.",
        )


def _holds_other_things(copy: Path) -> bool:
    return any(copy.iterdir()) and not (copy / "events").is_dir()


def _copied(source: Path, target: Path) -> None:
    """One file, written whole or not at all, and read back."""
    whole = source.read_bytes()
    target.parent.mkdir(mode=0o700, exist_ok=True)
    write_whole(target, whole)
    if sha256(target.read_bytes()).digest() != sha256(whole).digest():
        raise OSError(5, "the copy does not read back as it was written")


def _refused(path: Path, reason: OSError, verb: str) -> BookError:
    return BookError(
        f"The copy cannot be {verb}: {reason.strerror}.",
        where=str(path),
        do="name a folder that is yours to write, on a disk with room.",
    )
