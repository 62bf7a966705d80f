"""A long file cut where a line ends, so that each core reads a part of it.

Every line states the digest of the one before it, so a part can be held to its chain without
the parts before it: whether those lead to it is seen where they end.
"""

import os
from pathlib import Path
from typing import BinaryIO

import msgspec

from tracker.journal.book_file import opened
from tracker.journal.file_marks import Mark
from tracker.journal.line import DIGEST, LONGEST_LINE_BYTES, waits_for_more

# A shorter part takes less time to read than a process takes to start.
_LEAST_BYTES = 1 << 24
# The end of a line, from its digest on.
_END_BYTES = 78


def cores() -> int:
    """How many cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def parts_of(book: Path, mark: Mark, many: int) -> list[Mark]:
    """Where each of so many parts of a file begins, the file itself if it is short or odd.

    The marks are right but for their number of lines, which nobody has counted yet.

    Raises:
        OSError: the file cannot be read.
    """
    many = min(many, mark.size // _LEAST_BYTES)
    parts = [mark]
    if many > 1 and mark.read_to == 0:
        with opened(book, mark.file) as file:
            for place in range(1, many):
                file.seek(mark.size * place // many)
                file.readline(LONGEST_LINE_BYTES)
                begins = _begins(file, mark)
                if begins is None or begins.read_to <= parts[-1].read_to:
                    return [mark]
                parts.append(begins)
    return parts


def _begins(file: BinaryIO, mark: Mark) -> Mark | None:
    """The mark after the next line that stands alone."""
    for _ in range(1000):
        line = file.readline(LONGEST_LINE_BYTES)
        if line[-_END_BYTES : -_END_BYTES + len(DIGEST)] != DIGEST or line[-3:] != b'"}\n':
            return None
        if not waits_for_more(line[:-1]):
            digest = line[-67:-3].decode("latin-1")
            return msgspec.structs.replace(mark, read_to=file.tell(), digest=digest)
    return None
