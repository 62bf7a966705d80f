"""How far each file of the book once went: what tells that its end was taken away.

A shorter file is as valid as a longer one; only somebody who saw the longer one can tell. The
read model remembers it, through every rebuild. Deleting the cache forgets it: a backup
or a digest on paper does not.
"""

import re
from collections.abc import Iterable, Iterator, Mapping
from contextlib import closing, suppress
from datetime import UTC, datetime
from pathlib import Path
from types import MappingProxyType
from zlib import crc32

import msgspec

from tracker.core.values.day_words import short_day
from tracker.journal.book_file import lines_of, opened
from tracker.journal.file_marks import GENESIS, Damage, Mark
from tracker.journal.model.sealed_model import FAULTS, SealedModel, open_model
from tracker.journal.own_head import OwnEnd
from tracker.journal.seen_before import digest_at

_DIGEST = re.compile("[0-9a-f]{64}")
# More files than any book has; a broken model may go on for ever.
_MOST_HEADS = 10_000


class Head(msgspec.Struct, frozen=True):
    """The last line a file was ever seen to hold: its number, its digest, and when."""

    file: str
    lines: int
    digest: str
    mtime_ns: int = 0

    @property
    def seen(self) -> str:
        """When the file was last written to, as it was then."""
        at = datetime.fromtimestamp(self.mtime_ns / 1e9, UTC)
        return f"{short_day(at.date())} at {at:%H:%M} UTC"


def head_of(mark: Mark) -> Head:
    """The head of a file that has been read to its end."""
    return Head(mark.file, mark.lines, mark.digest, mark.mtime_ns)


def read_heads(connection: SealedModel) -> dict[str, Head]:
    """Every head a model knows; none where it is no model, and none that was changed since.

    Models of an earlier layout have no sums for them.
    """
    return {head.file: head for head in _heads_that_fit(connection)}


def _heads_that_fit(connection: SealedModel) -> Iterator[Head]:
    with suppress(*FAULTS):
        plain = "SELECT count(*) FROM sqlite_master WHERE name = 'heads' AND rootpage > 0"
        if connection.execute(plain).fetchone() != (1,):
            return
        for row in connection.execute("SELECT * FROM heads LIMIT ?", (_MOST_HEADS,)):
            if [type(one) for one in row[:4]] != [str, int, str, int]:
                continue
            head = Head(*row[:4])
            if len(row) > 4 and row[4] != _sum(head, connection.key):
                continue
            if head.lines >= 0 and _DIGEST.fullmatch(head.digest):
                yield head


def _sum(head: Head, key: int) -> int:
    return crc32(repr(msgspec.structs.astuple(head)).encode(errors="surrogateescape"), key)


def heads_known(model: Path) -> dict[str, Head]:
    """The heads that the model about to be replaced knew, and those of other layouts.

    They outlive a model that is broken in another place. Of two models the one that saw more
    of a file is believed.
    """
    known: dict[str, Head] = {}
    stem = model.stem.rpartition("-")[0]
    for file in sorted(model.parent.glob(f"{stem}-*{model.suffix}")):
        with suppress(OSError, *FAULTS), closing(open_model(file, "", write=False)) as held:
            for name, head in read_heads(held).items():
                if name not in known or known[name].mtime_ns < head.mtime_ns:
                    known[name] = head
    return known


def keep_heads(connection: SealedModel, heads: Iterable[Head]) -> None:
    """Remember these, each in place of what was known of its file."""
    connection.executemany(
        "INSERT OR REPLACE INTO heads VALUES (?, ?, ?, ?, ?)",
        ((*msgspec.structs.astuple(head), _sum(head, connection.key)) for head in heads),
    )


def settle_heads(
    connection: SealedModel,
    book: Path,
    heads: dict[str, Head],
    marks: dict[str, Mark],
    ends: Mapping[str, OwnEnd] = MappingProxyType({}),
) -> list[Damage]:
    """Hold every file to its head; the head of one that still contains it moves on.

    A file that contains its head is then held to `ends`, the last lines written from here.

    Returns:
        What is gone, one for each file that no longer contains its head.
    """
    missing = [(head, lost) for head in heads.values() if (lost := _lost(book, head, marks))]
    known = {head.file for head, _ in missing}
    own = [Head(one.file, one.lines, one.digest, one.mtime_ns) for one in ends.values()]
    missing += [
        (head, lost)
        for head in own
        if head.file not in known and (lost := _lost(book, head, marks))
    ]
    gone = [(head, lost) for head, lost in missing if not _is_elsewhere(book, head, marks)]
    short = [head for head, _ in missing if head.file not in marks or _ends_before(marks, head)]
    keep_heads(connection, heads.values())
    keep_heads(connection, [*short, *(head for head, _ in gone)])
    stays = {head.file for head in short} | {head.file for head, _ in gone}
    whole = [one for one in marks.values() if not one.is_unread and one.file not in stays]
    keep_heads(connection, map(head_of, whole))
    return [lost for _, lost in gone]


def _ends_before(marks: dict[str, Mark], head: Head) -> bool:
    return marks[head.file].lines < head.lines


def _lost(book: Path, head: Head, marks: dict[str, Mark]) -> Damage | None:
    """What is gone from a file, or None where it still contains its head."""
    mark = marks.get(head.file)
    if head.lines == 0 or (mark is not None and mark.is_unread):
        return None
    if mark is None:
        why = f"the whole file is gone, {_many(head.lines)}; last there {head.seen}"
        return Damage(head.file, 1, 0, f"{why}, digest {head.digest[:16]}", kind="gone")
    if mark.lines < head.lines:
        missing = head.lines - mark.lines
        are = "is" if missing == 1 else "are"
        why = f"{_many(missing)} {are} gone from the end since {head.seen}"
        why += f"; the last digest known was {head.digest[:16]}"
        return Damage(head.file, mark.lines + 1, mark.read_to, why, kind="gone")
    if digest_at(book, head.file, head.lines) == head.digest:
        return None
    why = f"not the line that was there on {head.seen}, with the digest {head.digest[:16]}"
    return Damage(head.file, head.lines, 0, why, kind="gone")


def _many(lines: int) -> str:
    return "1 line" if lines == 1 else f"{lines} lines"


def _is_elsewhere(book: Path, head: Head, marks: dict[str, Mark]) -> bool:
    """Whether another file holds that very line, so that nothing was lost with its copy."""
    if head.digest == GENESIS:
        return True
    wanted = f'"digest":"{head.digest}"'.encode()
    for name in marks:
        try:
            with opened(book, name) as file:
                if any(wanted in line for line in lines_of(file) if isinstance(line, bytes)):
                    return True
        except OSError:
            continue
    return False
