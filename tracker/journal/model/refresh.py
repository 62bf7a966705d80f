"""Bringing the read model up to the book: from the start, or from where it left off."""

import errno
import os
import sqlite3
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import closing, suppress
from datetime import date
from heapq import merge
from itertools import islice
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING

import msgspec

from tracker.core.facts.amendments import Corrected
from tracker.core.facts.entry import Entry, replay_order
from tracker.core.values.errors import BookError
from tracker.core.values.times import LONG_AGO
from tracker.garbage import no_garbage_collection
from tracker.journal.file_marks import Damage, Mark, Step, is_a_step, marks
from tracker.journal.model.known_ends import (
    Head,
    head_of,
    heads_known,
    keep_heads,
    read_heads,
    settle_heads,
)
from tracker.journal.model.read_model import (
    LAYOUT,
    ReadModel,
    damages,
    is_current,
    read_marks,
    unknown_ends,
)
from tracker.journal.model.sealed_model import (
    DAMAGES,
    FAULTS,
    HEADS,
    PARTS,
    Seal,
    SealedModel,
    model_begun,
    model_in_memory,
)
from tracker.journal.model.shelving import LineOf, ReadEntries, Shelving
from tracker.journal.own_head import OwnEnd, forget, own_ends
from tracker.journal.read import Reading
from tracker.journal.read_places import read_entries
from tracker.journal.seen_before import still_begins_so
from tracker.journal.whole_file import begun_beside, sync_begun, sync_folder

if TYPE_CHECKING:
    from tracker.journal.append import Written

_NO_ENDS: Mapping[str, OwnEnd] = MappingProxyType({})
# So many lines of several files are taken at once.
_AT_ONCE = 1024
# What SQLite keeps beside a file while it writes; what lies there belongs to the old one.
_BESIDE = ("-journal", "-wal", "-shm")


def refresh(model: ReadModel) -> SealedModel:
    """A connection to a model that is up to date with the book.

    Where the cache folder cannot be written the model is held in memory, for this once.
    """
    try:
        connection = model.open(write=True)
    except (OSError, *FAULTS):
        return rebuild(model)

    def unknown(held: SealedModel) -> dict[str, OwnEnd]:
        return unknown_ends(held, model.own_ends)

    with suppress(BookError, *FAULTS):  # not a model, or not all of one: made new below
        if catch_up(connection, model.book, unknown=unknown):
            return connection
    with suppress(sqlite3.Error):
        connection.close()
    return rebuild(model)


def rebuild(model: ReadModel) -> SealedModel:
    """A connection to a model made new from the first line on, whatever lies in the cache."""
    heads = heads_known(model.file)
    ends = {} if model.own_ends is None else own_ends(model.own_ends)
    try:
        _make_new(model, heads, ends)
        kept = model.open(write=True)
    except (OSError, *FAULTS):
        return _built(model, heads, ends)
    with suppress(BookError, *FAULTS):  # a disk that does not keep what it is given
        if kept.answer(is_current, model):
            return kept
    kept.close()
    return _built(model, heads, ends)


def accept(model: ReadModel) -> None:
    """Take the files as they are: what is gone from their ends is no longer missed.

    Raises:
        OSError: the model cannot be written.
    """
    try:
        _make_new(model, {}, _NO_ENDS)
    except sqlite3.Error as reason:
        raise OSError(errno.EIO, str(reason), str(model.file)) from reason
    if model.own_ends is not None:
        forget(model.own_ends)


def _make_new(model: ReadModel, heads: dict[str, Head], ends: Mapping[str, OwnEnd]) -> None:
    """Make the model's file from the first line on, and put it in the place of the old one.

    Raises:
        OSError, sqlite3.Error: the disk refused; what stood there before still does.
    """
    if str(model.file).startswith("~"):
        raise FileNotFoundError("there is no home folder, so there is no cache")
    model.file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    for tail in _BESIDE:
        with suppress(FileNotFoundError):
            model.file.with_name(f"{model.file.name}{tail}").unlink()
    with begun_beside(model.file) as (fresh, stream):
        with closing(model_begun(fresh, model.file, LAYOUT)) as connection:
            _fill(connection, model, heads, ends)
            size = connection.size
        sync_begun(fresh, stream)
        if os.fstat(stream.fileno()).st_size != size:
            raise OSError(errno.EIO, os.strerror(errno.EIO))
        stream.close()
        fresh.replace(model.file)
    sync_folder(model.file.parent)


def _built(
    model: ReadModel, heads: dict[str, Head], ends: Mapping[str, OwnEnd] = _NO_ENDS
) -> SealedModel:
    """A model in memory, made from the first line on."""
    connection = model_in_memory(model.file, LAYOUT)
    try:
        _fill(connection, model, heads, ends)
    except BaseException:
        connection.close()
        raise
    return connection


def _fill(
    connection: SealedModel,
    model: ReadModel,
    heads: dict[str, Head],
    ends: Mapping[str, OwnEnd],
) -> None:
    import sqlite_utils

    tables = sqlite_utils.Database(connection)
    for name in PARTS:
        tables.create_table(name, {"number": int, "body": bytes}, pk="number")
    tables.create_table("heads", HEADS, pk="file")
    connection.put_seal(Seal(LAYOUT))
    with connection.writing() as seal, no_garbage_collection():
        _absorb(connection, seal, model.book, marks(model.book), heads, ends, read_entries)


def catch_up(
    connection: SealedModel,
    book: Path,
    read: ReadEntries = read_entries,
    unknown: Callable[[SealedModel], dict[str, OwnEnd]] = lambda _: {},
) -> bool:
    """Read on from where the model stopped; False where the book is not a continuation.

    `unknown` gives the last lines written from here that the model has not seen.
    """
    with connection.writing() as seal:
        known, now, beyond = read_marks(connection), marks(book), unknown(connection)
        if beyond.keys() - now.keys() or not _is_continuation(book, known, now):
            return False
        grown = {
            name: mark
            for name, mark in now.items()
            if name in beyond or not _seen(known.get(name), mark)
        }
        if grown:
            _absorb(connection, seal, book, grown, read_heads(connection), beyond, read)
    return True


def bring_on(
    connection: SealedModel, book: Path, written: "Written", read: ReadEntries = read_entries
) -> bool:
    """Go on from what was just appended, without reading its file again.

    Args:
        connection: a model that can be written, as `refresh` gives it.
        book: the book's folder.
        written: what `append` returned.
        read: where the entries at places come from, for those of the same families.

    Returns:
        False where anything else is new as well, or the model cannot be written: it stays as
        it was, and the next look catches up. What was appended stands either way.
    """
    try:
        with connection.writing() as seal:
            known, heads = read_marks(connection), read_heads(connection)
            if not _is_all_that_is_new(known, marks(book), heads, written):
                return False
            _keep_marks(connection, seal, [written.mark], damages(connection))
            keep_heads(connection, [head_of(written.mark)])
            shelving = Shelving(connection, seal, book, read, 0)
            file = written.mark.file
            lines = [
                (file, (one.entry, one.offset, one.length, one.sum)) for one in written.entries
            ]
            shelving.take(lines)
            shelving.go_to(file, _steps(written))
            _note(seal, lines)
            shelving.finish()
    except (BookError, *FAULTS):
        return False
    return True


def _steps(written: "Written") -> list[Step]:
    """The step at the end of what was written, where there is to be one."""
    mark = written.mark
    is_one = is_a_step(written.before.lines, mark.lines)
    return [Step(mark.read_to, mark.lines, mark.digest, mark.odd)] if is_one else []


def _is_all_that_is_new(
    known: dict[str, Mark], now: dict[str, Mark], heads: dict[str, Head], written: "Written"
) -> bool:
    """Whether the model was current just before, and nothing but this was written since."""
    name = written.mark.file
    before = known.get(name)
    if before is None:
        is_next = written.before.size == 0 and name not in heads
    else:
        is_next = before == written.before and heads.get(name) == head_of(before)
    expected = known | {name: written.mark}
    return (
        is_next
        and expected.keys() == now.keys()
        and all(mark.same_file(now[other]) for other, mark in expected.items())
    )


def _seen(known: Mark | None, now: Mark) -> bool:
    return known is not None and known.same_file(now)


def _is_continuation(book: Path, known: dict[str, Mark], now: dict[str, Mark]) -> bool:
    for name, mark in known.items():
        seen = now.get(name)
        if seen is None or mark.is_unread:
            return False
        if not mark.same_file(seen) and not still_begins_so(book, mark):
            return False
    return True


def _absorb(
    connection: SealedModel,
    seal: Seal,
    book: Path,
    now: dict[str, Mark],
    heads: dict[str, Head],
    ends: Mapping[str, OwnEnd],
    read: ReadEntries,
) -> None:
    """Read what is new in these files into the model, and note how far that is."""
    known = read_marks(connection)
    found: list[Damage] = []
    readings = [
        Reading(book, _gone_on_from(mark, known.get(name, mark)), found)
        for name, mark in sorted(now.items())
    ]
    size = sum(mark.size for mark in now.values())
    shelving = Shelving(connection, seal, book, read, size)
    for lines in _as_they_happened(readings):
        _note(seal, lines)
        shelving.take(lines)
    for one in readings:
        shelving.go_to(one.mark.file, one.steps, in_step=one.in_step)
    found.sort(key=lambda one: one.file)
    older = [one for one in damages(connection) if not one.gone]
    kept = _keep_marks(connection, seal, [one.mark for one in readings], older)
    # What is gone from the ends of files; one that is known to go on from its head is not.
    sure = {name for name, mark in known.items() if heads.get(name) == head_of(mark)}
    doubted = {name: head for name, head in heads.items() if name not in sure}
    found += settle_heads(connection, book, doubted, read_marks(connection), ends)
    connection.put_aside(DAMAGES, list(dict.fromkeys([*kept, *found])))
    shelving.finish()


def _gone_on_from(mark: Mark, before: Mark) -> Mark:
    """A file as it is now, to be read on from where it was read to before."""
    return msgspec.structs.replace(
        mark, read_to=before.read_to, lines=before.lines, digest=before.digest, odd=before.odd
    )


def _as_they_happened(readings: Sequence[Reading]) -> Iterator[Sequence[LineOf]]:
    """The lines of all files, some at a time; those of several as far as can be by their time."""
    if len(readings) == 1:
        (reading,) = readings
        for taken in reading.lines():
            yield [(reading.mark.file, one) for one in taken]
        return
    every = merge(*(_each(one) for one in readings), key=_order)
    while some := list(islice(every, _AT_ONCE)):
        yield some


def _each(reading: Reading) -> Iterator[LineOf]:
    file = reading.mark.file
    for taken in reading.lines():
        for one in taken:
            yield file, one


def _order(line: LineOf) -> tuple[object, ...]:
    return replay_order(line[1][0])


def _keep_marks(
    connection: SealedModel, seal: Seal, read: Sequence[Mark], older: Sequence[Damage]
) -> list[Damage]:
    """Remember how far files were read; what was unfinished there is read or gone."""
    fresh = {mark.file: mark for mark in read}
    seal.marks = [*(one for one in seal.marks if one.file not in fresh), *fresh.values()]
    kept = [one for one in older if not (one.file in fresh and (one.pending or one.line == 0))]
    if len(kept) < len(older):
        connection.put_aside(DAMAGES, kept)
    return kept


def _note(seal: Seal, lines: Sequence[LineOf]) -> None:
    """Remember who wrote these lines, and the last day of them all."""
    entries = [one[0] for _, one in lines]
    seal.last_day = max(seal.last_day or "", _latest(entries).isoformat())
    if fresh := {one.source for one in entries}.difference(seal.writers):
        seal.writers = sorted({*seal.writers, *fresh})


def _latest(entries: Sequence[Entry]) -> date:
    """The last day anything can have begun to happen on: what a replay goes by."""
    known = [when.start for one in entries if (when := one.when).precision != "unknown"]
    moved = [_moved_to(one.fact) for one in entries if isinstance(one.fact, Corrected)]
    return max(*([max(known).date()] if known else []), *moved, LONG_AGO, LONG_AGO)


def _moved_to(correction: Corrected) -> date:
    """The day a correction gives an event, where it gives it one."""
    text = correction.set.get("time")
    with suppress(ValueError):
        return date.fromisoformat(text[:10]) if isinstance(text, str) else LONG_AGO
    return LONG_AGO
