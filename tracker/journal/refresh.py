"""Bringing the read model up to the book: from the start, or from where it left off."""

import gc
import sqlite3
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import closing, contextmanager, suppress
from datetime import date
from operator import attrgetter
from pathlib import Path
from types import MappingProxyType

import msgspec
import sqlite_utils

from tracker.core.facts.amendments import Corrected
from tracker.core.facts.entry import Entry
from tracker.core.replay.families import families, joined_jars
from tracker.core.values.errors import BookError
from tracker.core.values.times import LONG_AGO
from tracker.journal.append import Written
from tracker.journal.file_marks import Damage, Mark, Place, marks
from tracker.journal.find_entry import Stand, every_line, line_sums, lines_on
from tracker.journal.known_ends import (
    Head,
    head_of,
    heads_known,
    keep_heads,
    read_heads,
    settle_heads,
)
from tracker.journal.own_head import OwnEnd, forget, own_ends
from tracker.journal.read import Placed, read_entries, read_on, still_begins_so
from tracker.journal.read_model import (
    LAYOUT,
    ReadModel,
    damages,
    is_current,
    places_of,
    read_marks,
    unknown_ends,
)
from tracker.journal.sealed_model import (
    DAMAGES,
    FAULTS,
    HEADS,
    LINE_SUMS,
    LINES_ON_A_SHEET,
    PARTS,
    BrokenModelError,
    Seal,
    SealedModel,
    model_in_memory,
)
from tracker.journal.stored_lives import Families, store
from tracker.journal.whole_file import write_whole

ReadEntries = Callable[[Path, Sequence[Place]], list[Entry]]

_NO_ENDS: Mapping[str, OwnEnd] = MappingProxyType({})
# What SQLite keeps beside a file while it writes; what lies there belongs to the old one.
_BESIDE = ("-journal", "-wal", "-shm")
# Beyond any number that a line can be called by.
_MOST = 1 << 62


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
    ends = {} if model.own_ends is None else own_ends(model.own_ends)
    built = _built(model, heads_known(model.file), ends)
    try:
        _write(built, model)
        kept = model.open(write=True)
    except (OSError, *FAULTS):
        return built
    with suppress(BookError, *FAULTS):  # a disk that does not keep what it is given
        if kept.answer(is_current, model):
            built.close()
            return kept
    kept.close()
    return built


def accept(model: ReadModel) -> None:
    """Take the files as they are: what is gone from their ends is no longer missed.

    Raises:
        OSError: the model cannot be written.
    """
    with closing(_built(model, {})) as built:
        _write(built, model)
    if model.own_ends is not None:
        forget(model.own_ends)


def _write(built: SealedModel, model: ReadModel) -> None:
    if str(model.file).startswith("~"):
        raise FileNotFoundError("there is no home folder, so there is no cache")
    model.file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    for tail in _BESIDE:
        with suppress(FileNotFoundError):
            model.file.with_name(f"{model.file.name}{tail}").unlink()
    write_whole(model.file, built.serialize())


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
    tables = sqlite_utils.Database(connection)
    for name in PARTS:
        tables.create_table(name, {"number": int, "body": bytes}, pk="number")
    tables.create_table("heads", HEADS, pk="file")
    connection.put_seal(Seal(LAYOUT))
    with connection.writing() as seal, _no_garbage_collection():
        placed = _absorb(connection, seal, model.book, marks(model.book), heads, ends)
        store(connection, seal, families(placed, _entry))


@contextmanager
def _no_garbage_collection() -> Iterator[None]:
    """Nothing read here is part of a cycle, and looking for one doubles the time."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def catch_up(
    connection: SealedModel,
    book: Path,
    read: ReadEntries = read_entries,
    unknown: Callable[[SealedModel], dict[str, OwnEnd]] = lambda _: {},
) -> bool:
    """Read on from where the model stopped; False where the book is not a continuation.

    `unknown` gives the last lines written from here that the model has not seen.

    Raises:
        BrokenModelError: what came changes what counts of lines that were read before.
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
            placed = _absorb(connection, seal, book, grown, read_heads(connection), beyond)
            if _has_other_contents(connection, book, placed, read):
                raise BrokenModelError("lines of one number in several families")
            store(connection, seal, _with_kin(connection, book, placed, read))
    return True


def bring_on(
    connection: SealedModel, book: Path, written: Written, read: ReadEntries = read_entries
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
            _keep_lines(connection, seal, written.entries)
            store(connection, seal, _with_kin(connection, book, written.entries, read))
    except (BookError, *FAULTS):
        return False
    return True


def _is_all_that_is_new(
    known: dict[str, Mark], now: dict[str, Mark], heads: dict[str, Head], written: Written
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


def _has_other_contents(
    connection: SealedModel, book: Path, fresh: Sequence[Placed], read: ReadEntries
) -> bool:
    """Whether a line that was read before has the number of a fresh one, and says otherwise."""
    said = {(one.entry.source, one.entry.id): one for one in fresh}
    before = [
        one
        for one in every_line(connection)
        if (new := said.get((one.writer, one.place.event))) is not None and new.place != one.place
    ]
    older = read(book, [one.place for one in before])
    return any(one != said[one.source, one.id].entry for one in older)


def _with_kin(
    connection: SealedModel, book: Path, fresh: Sequence[Placed], read: ReadEntries
) -> Families:
    """The whole families that new lines touch, and those that amendments join to them."""
    loaded: dict[str, list[Placed]] = {}
    every = {one.place: one for one in fresh}
    touched = set(families(fresh, _entry))
    while missing := touched - loaded.keys():
        for jar_id in missing:
            places = places_of(connection, jar_id)
            entries = read(book, places)
            loaded[jar_id] = [Placed(entry, *at) for entry, at in zip(entries, places, strict=True)]
        every |= {one.place: one for jar_id in missing for one in loaded[jar_id]}
        touched |= joined_jars(every.values(), _entry)
    grown = families(every.values(), _entry)
    return {jar_id: grown[jar_id] for jar_id in touched if jar_id in grown}


_entry: Callable[[Placed], Entry] = attrgetter("entry")


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
) -> list[Placed]:
    """Read what is new in these files, and note how far that is."""
    known = read_marks(connection)
    placed: list[Placed] = []
    found: list[Damage] = []
    read = []
    for name, mark in sorted(now.items()):
        before = known.get(name, mark)
        start = msgspec.structs.replace(
            mark, read_to=before.read_to, lines=before.lines, digest=before.digest, odd=before.odd
        )
        read.append(read_on(book, start, placed, found))
    older = [one for one in damages(connection) if not one.gone]
    kept = _keep_marks(connection, seal, read, older)
    # What is gone from the ends of files; one that is known to go on from its head is not.
    sure = {name for name, mark in known.items() if heads.get(name) == head_of(mark)}
    doubted = {name: head for name, head in heads.items() if name not in sure}
    found += settle_heads(connection, book, doubted, read_marks(connection), ends)
    connection.put_aside(DAMAGES, list(dict.fromkeys([*kept, *found])))
    _keep_lines(connection, seal, placed)
    return placed


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


def _keep_lines(connection: SealedModel, seal: Seal, placed: Sequence[Placed]) -> None:
    """Remember where each line stands and what it is called, and the last day of them all."""
    if not placed:
        return
    seal.last_day = max(seal.last_day or "", _latest(placed).isoformat())
    seal.writers = sorted({*seal.writers, *(one.entry.source for one in placed)})
    sheets: dict[int, list[Stand]] = defaultdict(list)
    for one in placed:
        number = max(-_MOST, min(one.entry.sequence, _MOST))
        sheets[number // LINES_ON_A_SHEET].append(Stand(one.entry.source, number, one.place))
    sums = line_sums(connection)
    for sheet, lines in sheets.items():
        body = msgspec.msgpack.encode([*lines_on(connection, sheet), *lines])
        sums[sheet] = connection.put("lines", sheet, body)
    connection.put_aside(LINE_SUMS, sums)


def _latest(placed: Sequence[Placed]) -> date:
    """The last day anything can have begun to happen on: what a replay goes by."""
    known = [when.start for one in placed if (when := one.entry.when).precision != "unknown"]
    facts = [one.entry.fact for one in placed]
    moved = [_moved_to(fact) for fact in facts if isinstance(fact, Corrected)]
    return max(*([max(known).date()] if known else []), *moved, LONG_AGO, LONG_AGO)


def _moved_to(correction: Corrected) -> date:
    """The day a correction gives an event, where it gives it one."""
    text = correction.set.get("time")
    with suppress(ValueError):
        return date.fromisoformat(text[:10]) if isinstance(text, str) else LONG_AGO
    return LONG_AGO
