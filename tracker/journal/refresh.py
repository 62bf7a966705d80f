"""Bringing the read model up to the book: from the start, or from where it left off."""

import gc
import sqlite3
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import closing, contextmanager
from datetime import date
from operator import attrgetter
from pathlib import Path
from types import MappingProxyType

import msgspec
import sqlite_utils

from tracker.core.facts.entry import Entry
from tracker.core.replay.families import clusters, families, joined_jars
from tracker.core.replay.replay import lives_of
from tracker.core.shelf.codes import shown_codes
from tracker.core.shelf.jar import Jar
from tracker.core.values.errors import BookError
from tracker.journal.append import Written
from tracker.journal.file_marks import Damage, Mark, Place, marks
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
from tracker.journal.read_model import TABLES, ReadModel, places_of, read_marks
from tracker.journal.whole_file import write_whole

Families = dict[str, list[Placed]]
ReadEntries = Callable[[Path, Sequence[Place]], list[Entry]]

_NO_ENDS: Mapping[str, OwnEnd] = MappingProxyType({})
_KEYS = {
    "marks": "file",
    "heads": "file",
    "batches": "id",
    "lots": "id",
    "kin": "jar",
    "writers": "name",
}


def refresh(model: ReadModel) -> sqlite3.Connection:
    """A connection to a model that is up to date with the book.

    Where the cache folder cannot be written the model is held in memory, for this once.
    """
    if model.file.exists():
        connection = _opened(model)
        try:
            if catch_up(connection, model.book, unknown=model.unknown_ends):
                return connection
        except sqlite3.DatabaseError:
            pass  # not a model at all: built below
        connection.close()
    ends = {} if model.own_ends is None else own_ends(model.own_ends)
    built = _built(model.book, heads_known(model.file), ends)
    try:
        _write(built, model)
    except OSError:
        return built
    built.close()
    return _opened(model)


def _opened(model: ReadModel) -> sqlite3.Connection:
    return sqlite3.connect(model.file, timeout=20, isolation_level=None)


def accept(model: ReadModel) -> None:
    """Take the files as they are: what is gone from their ends is no longer missed.

    Raises:
        OSError: the model cannot be written.
    """
    with closing(_built(model.book, {})) as built:
        _write(built, model)
    if model.own_ends is not None:
        forget(model.own_ends)


def _write(built: sqlite3.Connection, model: ReadModel) -> None:
    model.file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    write_whole(model.file, built.serialize())


def _built(
    book: Path, heads: dict[str, Head], ends: Mapping[str, OwnEnd] = _NO_ENDS
) -> sqlite3.Connection:
    """A model in memory, made from the first line on."""
    connection = sqlite3.connect(":memory:", isolation_level=None)
    tables = sqlite_utils.Database(connection)
    for name, columns in TABLES.items():
        tables.create_table(name, columns, pk=_KEYS.get(name))
    connection.execute("CREATE INDEX batches_code ON batches (code)")
    connection.execute("CREATE INDEX batches_shown ON batches (upper(shown))")
    connection.execute("CREATE INDEX batches_live ON batches (live)")
    connection.execute("BEGIN")
    with _no_garbage_collection():
        placed = _absorb(connection, book, marks(book), {}, heads, ends)
        _store(connection, families(placed, _entry))
    # After the lines: an index that grows with each of them costs more.
    connection.execute("CREATE INDEX lines_number ON lines (number, writer)")
    connection.execute("CREATE INDEX lines_event ON lines (event)")
    connection.execute("COMMIT")
    return connection


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
    connection: sqlite3.Connection,
    book: Path,
    read: ReadEntries = read_entries,
    unknown: Callable[[sqlite3.Connection], dict[str, OwnEnd]] = lambda _: {},
) -> bool:
    """Read on from where the model stopped; False where the book is not a continuation.

    `unknown` gives the last lines written from here that the model has not seen.
    """
    connection.execute("BEGIN IMMEDIATE")
    known, now, beyond = read_marks(connection), marks(book), unknown(connection)
    if beyond.keys() - now.keys() or not _is_continuation(book, known, now):
        connection.execute("ROLLBACK")
        return False
    grown = {
        name: mark
        for name, mark in now.items()
        if name in beyond or not _seen(known.get(name), mark)
    }
    if not grown:
        connection.execute("ROLLBACK")
        return True
    placed = _absorb(connection, book, grown, known, read_heads(connection), beyond)
    _store(connection, _with_kin(connection, book, placed, read))
    connection.execute("COMMIT")
    return True


def bring_on(
    connection: sqlite3.Connection, book: Path, written: Written, read: ReadEntries = read_entries
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
        with connection:  # all of it, or none
            connection.execute("BEGIN IMMEDIATE")
            known, heads = read_marks(connection), read_heads(connection)
            if not _is_all_that_is_new(known, marks(book), heads, written):
                return False
            _keep_mark(connection, written.mark)
            keep_heads(connection, [head_of(written.mark)])
            _keep_lines(connection, written.entries)
            _store(connection, _with_kin(connection, book, written.entries, read))
    except (sqlite3.DatabaseError, BookError):
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


def _with_kin(
    connection: sqlite3.Connection, book: Path, fresh: Sequence[Placed], read: ReadEntries
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
    connection: sqlite3.Connection,
    book: Path,
    now: dict[str, Mark],
    known: dict[str, Mark],
    heads: dict[str, Head],
    ends: Mapping[str, OwnEnd],
) -> list[Placed]:
    """Read what is new in these files, and note how far that is."""
    placed: list[Placed] = []
    found: list[Damage] = []
    for name, mark in sorted(now.items()):
        before = known.get(name, mark)
        start = msgspec.structs.replace(
            mark, read_to=before.read_to, lines=before.lines, digest=before.digest, odd=before.odd
        )
        _keep_mark(connection, read_on(book, start, placed, found))
    found += _hold_to_heads(connection, book, heads, known, ends)
    connection.executemany(
        "INSERT INTO damages VALUES (?, ?, ?, ?, ?)", map(msgspec.structs.astuple, found)
    )
    _keep_lines(connection, placed)
    return placed


def _keep_mark(connection: sqlite3.Connection, mark: Mark) -> None:
    """Remember how far a file was read; what was unfinished there is read or gone."""
    connection.execute(
        "INSERT OR REPLACE INTO marks VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
        msgspec.structs.astuple(mark),
    )
    connection.execute(
        "DELETE FROM damages WHERE file = ? AND (kind = 'unfinished' OR line = 0)", (mark.file,)
    )


def _keep_lines(connection: sqlite3.Connection, placed: Sequence[Placed]) -> None:
    """Remember where each line stands and what it is called, and the last day of them all."""
    if not placed:
        return
    connection.execute("INSERT INTO latest VALUES (?)", (_latest(placed).isoformat(),))
    connection.executemany(
        "INSERT INTO lines VALUES (?, ?, ?, ?, ?, ?)",
        ((one.entry.source, one.entry.sequence, *one[1:]) for one in placed),
    )
    connection.executemany(
        "INSERT OR IGNORE INTO writers VALUES (?)",
        ((name,) for name in {one.entry.source for one in placed}),
    )


def _hold_to_heads(
    connection: sqlite3.Connection,
    book: Path,
    heads: dict[str, Head],
    known: dict[str, Mark],
    ends: Mapping[str, OwnEnd],
) -> list[Damage]:
    """What is gone from the ends of files; one that is known to go on from its head is not."""
    connection.execute("DELETE FROM damages WHERE kind = 'gone'")
    sure = {name for name, mark in known.items() if heads.get(name) == head_of(mark)}
    doubted = {name: head for name, head in heads.items() if name not in sure}
    return settle_heads(connection, book, doubted, read_marks(connection), ends)


def _store(connection: sqlite3.Connection, touched: Families) -> None:
    """Fold each family and keep its state; then see which codes were given twice."""
    batches, lots, kin, strays = [], [], [], []
    for jar_id, family in touched.items():
        places = [one[1:] for one in family]  # event, file, offset, length
        kin.append((jar_id, msgspec.json.encode(places)))
    every = (one.entry for family in touched.values() for one in family)
    for ids in clusters(touched, every):
        lives = lives_of(ids, [one.entry for jar_id in ids for one in touched[jar_id]])
        strays += [(ids[0], msgspec.json.encode(flag)) for flag in lives.strays]
        for one in lives.batches.values():
            kind = "jar" if isinstance(one, Jar) else "blend"
            state = msgspec.json.encode(one)
            batches.append((one.id, kind, one.code, one.code, one.born, one.is_live, state))
        for lot in lives.lots.values():
            state = msgspec.json.encode(lot)
            lots.append((lot.id, lot.code, lot.code, lot.born, state))
    gone = [(jar_id,) for jar_id in touched]
    for table in ("kin", "unplaced"):
        connection.executemany(f"DELETE FROM {table} WHERE jar = ?", gone)
    for table in ("batches", "lots"):
        connection.executemany(f"DELETE FROM {table} WHERE id = ?", gone)
    connection.executemany("INSERT INTO kin VALUES (?, ?)", kin)
    connection.executemany("INSERT INTO unplaced VALUES (?, ?)", strays)
    connection.executemany("INSERT INTO batches VALUES (?, ?, ?, ?, ?, ?, ?)", batches)
    connection.executemany("INSERT INTO lots VALUES (?, ?, ?, ?, ?)", lots)
    for table in ("batches", "lots"):
        _letter_shared_codes(connection, table)


def _latest(placed: Sequence[Placed]) -> date:
    """The last day anything happened on."""
    last = max(placed, key=lambda one: one.entry.when.start).entry.when.start.date()
    inexact = [one.entry.when for one in placed if not one.entry.when.is_exact]
    return max([last, *(when.latest for when in inexact)])


def _letter_shared_codes(connection: sqlite3.Connection, table: str) -> None:
    """The jar or lot that took a code first keeps it; each later one is shown with a letter."""
    shared = connection.execute(
        f"SELECT born, id, code FROM {table}"
        f" WHERE code IN (SELECT code FROM {table} GROUP BY code HAVING count(*) > 1)"
    ).fetchall()
    connection.execute(f"UPDATE {table} SET shown = code WHERE shown <> code")
    connection.executemany(
        f"UPDATE {table} SET shown = ? WHERE id = ?",
        ((code, jar_id) for jar_id, code in shown_codes(shared).items()),
    )
