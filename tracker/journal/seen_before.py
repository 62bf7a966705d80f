"""Whether a file of the book still holds what was read of it before."""

from hashlib import sha256
from pathlib import Path

from tracker.journal.book_file import TooLong, lines_of, opened
from tracker.journal.file_marks import GENESIS, Mark
from tracker.journal.line import DIGEST, bared, link
from tracker.journal.read import odder, stated_digest


def digest_at(book: Path, name: str, number: int) -> str | None:
    """The digest that stands at a line of a file, as the reader goes by it; None beyond it.

    Raises:
        OSError: the file cannot be read.
    """
    digest, count = GENESIS, 0
    with opened(book, name) as file:
        for line in lines_of(file):
            end = line.end if isinstance(line, TooLong) else line
            if count == number or end[-1:] != b"\n":
                break
            count += 1
            digest = stated_digest(bared(end[:-1], count)) or digest
    return digest if count == number else None


def still_begins_so(book: Path, mark: Mark) -> bool:
    """Whether the file still begins with the very bytes that were read, none changed."""
    if mark.read_to == 0:
        return True
    digest, odd, number, left = GENESIS, "", 0, mark.read_to
    try:
        with opened(book, mark.file) as file:
            for line in lines_of(file):
                number += 1
                if isinstance(line, TooLong):
                    left -= line.length
                    digest = stated_digest(bared(line.end[:-1], 0)) or digest
                    odd = odder(odd, line.digest)
                else:
                    left -= len(line)
                    stated = line[-67:-3].decode("latin-1")
                    if (
                        line[-78:-67] == DIGEST
                        and line[-3:] == b'"}\n'
                        and (link(digest, line[:-78]) == stated)
                    ):
                        digest = stated
                    else:
                        digest = stated_digest(bared(line[:-1], number)) or digest
                        odd = odder(odd, sha256(line).digest())
                if left <= 0:
                    break
    except OSError:
        return False
    return left == 0 and (number, digest, odd) == (mark.lines, mark.digest, mark.odd)
