"""The read model's file, of which nothing is believed before it is held to its sum.

It is SQLite, for its transactions: each table holds numbered parts, and the seal holds the sum of
every part. A part that is changed, missing, out of another book or older than the rest does
not fit the seal, and a seal that does not fit itself is none.
"""

import os
import sqlite3
import stat
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from typing import Concatenate, ParamSpec, TypeVar
from urllib.parse import quote
from zlib import crc32

import msgspec

from tracker.core.values.errors import ChangedLineError
from tracker.journal.file_marks import Mark
from tracker.journal.model.cards import Cards

P = ParamSpec("P")
T = TypeVar("T")

# Tables of numbered parts; a test follows each of them.
PARTS = ("seal", "cards", "states", "kin", "steps", "ids", "asides")
HEADS: dict[str, type] = {
    "file": str,
    "lines": int,
    "digest": str,
    "mtime_ns": int,
    "sum": int,
}
_PLAIN = {("table", one, 1) for one in (*PARTS, "heads")} | {
    ("index", "sqlite_autoindex_heads_1", 1)
}
# What stands in `asides`, by its number there.
DAMAGES, UNPLACED, FILES, ID_SUMS, AWAITED, RECALL_REACH = 1, 2, 3, 4, 5, 6
_WAIT_S = 5.0
# Of a model that is being made, so much is kept in memory before it goes to the disk.
_CACHE_KIB = 8192


class BrokenModelError(Exception):
    """The model, or a part of it, is not what was written."""


# Whatever an answer out of a model can fail by that one made new does not have.
FAULTS = (
    *(sqlite3.Error, msgspec.MsgspecError, BrokenModelError, ChangedLineError),
    *(UnicodeError, MemoryError),  # a broken schema has names that are no text, and lengths
)


class Seal(msgspec.Struct, array_like=True):
    """How far the book was read, and the sum of every part of the model."""

    layout: str
    marks: list[Mark] = []
    writers: list[str] = []
    last_day: str | None = None
    next_at: int = 0
    drawers: dict[int, int] = {}  # the sum of each drawer of cards
    asides: dict[int, int] = {}
    heads: int = 0


_SEAL = msgspec.msgpack.Decoder(Seal)
_encode = msgspec.msgpack.encode


class SealedModel(sqlite3.Connection):
    """A connection to a model that answers with nothing that does not fit its seal."""

    key = 0  # of the book, so that no part of another's fits
    layout = ""
    _version: int | None = None
    _seal: Seal | None = None
    _cards: Cards | None = None

    def answer(
        self,
        question: "Callable[Concatenate[SealedModel, P], T]",
        *given: P.args,
        **named: P.kwargs,
    ) -> T:
        """Ask one thing of the model as it stands at one moment."""
        if self.in_transaction:
            return question(self, *given, **named)
        self.execute("BEGIN")
        try:
            self._look()
            return question(self, *given, **named)
        finally:
            self.rollback()

    @contextmanager
    def writing(self) -> "Iterator[Seal]":
        """Change the model: all of it with its seal, or nothing."""
        self.execute("BEGIN IMMEDIATE")
        try:
            self._look()
            seal = self.seal
            if self.heads_sum() != seal.heads:
                raise BrokenModelError("heads")
            before = self.total_changes
            yield seal
            if self.total_changes != before:
                self.put_seal(seal)
            self.execute("COMMIT")
        except BaseException:
            self._forget()
            self.rollback()
            raise

    def _look(self) -> None:
        """Forget what another program has changed since."""
        (version,) = self.execute("PRAGMA data_version").fetchone()
        if version != self._version:
            self._forget()
            self._version = version

    def _forget(self) -> None:
        self._seal = self._cards = None

    @property
    def size(self) -> int:
        """How many bytes its file has."""
        (pages,) = self.execute("PRAGMA page_count").fetchone()
        (each,) = self.execute("PRAGMA page_size").fetchone()
        return int(pages * each)

    # Reading

    def part(self, table: str, number: int, fits: int) -> bytes:
        """One part of a table.

        Raises:
            BrokenModelError: it is not there, or does not have that sum.
        """
        body = self._body(table, number)
        if crc32(body, self.key) != fits:
            raise BrokenModelError(table)
        return body

    def _body(self, table: str, number: int) -> bytes:
        query = f"SELECT body FROM {table} WHERE number = ?"  # a table of our own
        row = self.execute(query, (number,)).fetchone()
        if row is None or type(row[0]) is not bytes:
            raise BrokenModelError(table)
        return row[0]

    @property
    def seal(self) -> Seal:
        """The sums everything else is held to."""
        if self._seal is None:
            self._must_be_plain()
            body = self._body("seal", 0)
            if crc32(body[4:], self.key) != int.from_bytes(body[:4], "big"):
                raise BrokenModelError("seal")
            self._seal = _SEAL.decode(body[4:])
            if self._seal.layout != self.layout:
                raise BrokenModelError("layout")
        return self._seal

    def _must_be_plain(self) -> None:
        """Nothing but tables: a view or a trigger could make one question last for ever."""
        query = "SELECT type, name, rootpage > 0 FROM sqlite_master LIMIT ?"
        if set(self.execute(query, (len(_PLAIN) + 1,))) != _PLAIN:
            raise BrokenModelError("sqlite_master")

    @property
    def cards(self) -> Cards:
        """What is noted of each jar, blend and lot."""
        if self._cards is None:
            self._cards = Cards(self.seal.drawers, partial(self.part, "cards"))
        return self._cards

    def aside(self, number: int) -> bytes | None:
        """One of `asides`; None where it was never put."""
        fits = self.seal.asides.get(number)
        return None if fits is None else self.part("asides", number, fits)

    def heads_sum(self) -> int:
        """The sum of all heads; each has one of its own as well."""
        rows = self.execute("SELECT * FROM heads ORDER BY file").fetchall()
        return crc32(_encode(rows), self.key)

    # Writing

    def put(self, table: str, number: int, body: bytes) -> int:
        """Put a part in its place; returns its sum, for the seal."""
        query = f"INSERT OR REPLACE INTO {table} VALUES (?, ?)"  # a table of our own
        self.execute(query, (number, body))
        return crc32(body, self.key)

    def put_aside(self, number: int, thing: object) -> None:
        """Put one of `asides`."""
        self.seal.asides[number] = self.put("asides", number, _encode(thing))

    def put_cards(self) -> None:
        """Put the drawers that cards were changed in."""
        for drawer, cards in self.cards.changed():
            if cards:
                self.seal.drawers[drawer] = self.put("cards", drawer, _encode(cards))
            elif self.seal.drawers.pop(drawer, None) is not None:
                self.execute("DELETE FROM cards WHERE number = ?", (drawer,))

    def put_seal(self, seal: Seal) -> None:
        """Put the seal on all that was put before."""
        seal.heads = self.heads_sum()
        body = _encode(seal)
        self.put("seal", 0, crc32(body, self.key).to_bytes(4, "big") + body)
        self._seal = seal


def book_key(file: Path) -> int:
    """What the sums of a model begin with: another book's do not fit."""
    return crc32(os.fsencode(file.stem.rpartition("-")[0]))


def open_model(file: Path, layout: str, *, write: bool) -> SealedModel:
    """A connection to a model of our own, whatever it holds.

    Raises:
        OSError, sqlite3.Error: there is none, or none that can be used.
    """
    must_be_ours(file)
    mode = "rw" if write else "ro"
    connection = sqlite3.connect(
        f"file:{quote(os.fsencode(file))}?mode={mode}",
        uri=True,
        timeout=_WAIT_S,
        isolation_level=None,
        factory=SealedModel,
    )
    return _prepared(connection, file, layout)


def model_begun(fresh: Path, file: Path, layout: str) -> SealedModel:
    """An empty model in a new file of ours, with the sums it has once it stands in its place."""
    connection = sqlite3.connect(fresh, isolation_level=None, factory=SealedModel)
    connection = _prepared(connection, file, layout)
    try:
        # Nobody reads it before it is whole and synced, and where it fails it is thrown away.
        for plain in ("journal_mode = OFF", "synchronous = OFF", f"cache_size = -{_CACHE_KIB}"):
            connection.execute(f"PRAGMA {plain}")
    except sqlite3.Error:
        connection.close()
        raise
    return connection


def model_in_memory(file: Path, layout: str) -> SealedModel:
    """An empty model with the sums it would have in that file."""
    connection = sqlite3.connect(":memory:", isolation_level=None, factory=SealedModel)
    return _prepared(connection, file, layout)


def _prepared(connection: SealedModel, file: Path, layout: str) -> SealedModel:
    connection.key, connection.layout = book_key(file), layout
    try:
        connection.execute("PRAGMA trusted_schema = OFF")
        connection.execute("PRAGMA cell_size_check = ON")
    except sqlite3.Error:
        connection.close()
        raise
    return connection


def must_be_ours(file: Path) -> None:
    """See that nobody else can have written a file.

    Raises:
        OSError: it is not there, is no regular file, or somebody else's.
    """
    found = file.lstat()
    others = stat.S_IWGRP | stat.S_IWOTH
    mine = not hasattr(os, "geteuid") or (
        found.st_uid == os.geteuid() and not found.st_mode & others
    )
    if not mine or not stat.S_ISREG(found.st_mode):
        raise PermissionError(f"{file} is not a file of ours alone")
