"""The disposable read model: the state of jars, blends and lots in SQLite.

Asking replays nothing. This half is all that an asking verb needs while the book has not
changed; `refresh` does the rest.
"""

import sqlite3
from collections.abc import Iterable, Iterator
from datetime import date
from pathlib import Path
from typing import TypeVar, get_args
from urllib.parse import quote
from zlib import crc32

import msgspec

from tracker.core.shelf.blend import Blend
from tracker.core.shelf.codes import relabel
from tracker.core.shelf.contents import Contents, Herb, Poured, Use
from tracker.core.shelf.end import End
from tracker.core.shelf.extract import Bottle, Extract, Thrown
from tracker.core.shelf.fill import Fill
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.flow import Flow, Given
from tracker.core.shelf.hold import Hold, Look
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.late import Late
from tracker.core.shelf.lot import Lot, LotChange
from tracker.core.shelf.misfit import Misfit
from tracker.core.shelf.spell import Spell
from tracker.core.shelf.thing import Batch
from tracker.core.values.times import Period, When
from tracker.journal.file_marks import GENESIS, Damage, Mark, Place, marks
from tracker.journal.own_head import OwnEnd, own_ends

_BATCHES = msgspec.json.Decoder(list[Batch])
_JARS = msgspec.json.Decoder(list[Jar])
_LOTS = msgspec.json.Decoder(list[Lot])
_FLAG = msgspec.json.Decoder(Flag)
_PLACES = msgspec.json.Decoder(list[Place])

_HEADS = "SELECT file, lines, digest FROM heads"
_NONE = (0, GENESIS)
_STATE = "SELECT state, shown FROM batches"
One = TypeVar("One", Jar, Batch, Lot)


# Every shape the stored state is made of; tests/journal/test_layout.py finds one left out.
STORED = (
    *(Jar, Blend, Extract, Bottle, Lot, LotChange, Contents, Herb, Poured, Use, Fill, Flow, Given),
    *(Hold, Look, Late, Spell, Thrown, Flag, When, Period, Mark, Damage),
    *get_args(Misfit),
    *get_args(End),
)


def _layout() -> str:
    """Names the shape of the stored state, so that another version's model is not read."""
    fields = (tuple(shape.__annotations__) for shape in STORED)
    return f"{crc32(repr((10, *fields)).encode()):08x}"


LAYOUT = _layout()
TABLES: dict[str, dict[str, type]] = {
    "marks": {
        "file": str,
        "size": int,
        "mtime_ns": int,
        "inode": int,
        "read_to": int,
        "lines": int,
        "digest": str,
        "odd": str,
    },
    "batches": {
        "id": str,
        "kind": str,  # jar or blend
        "code": str,
        "shown": str,
        "born": str,
        "live": int,
        "state": bytes,
    },
    "lots": {"id": str, "code": str, "shown": str, "born": str, "state": bytes},
    "kin": {"jar": str, "places": bytes},
    "lines": {
        "writer": str,
        "number": int,
        "event": str,
        "file": str,
        "offset": int,
        "length": int,
    },
    "writers": {"name": str},
    "heads": {"file": str, "lines": int, "digest": str, "mtime_ns": int},
    "damages": {
        "file": str,
        "line": int,
        "byte": int,
        "why": str,
        "kind": str,
    },
    "unplaced": {"jar": str, "flag": bytes},
    "latest": {"day": str},
}


class ReadModel(msgspec.Struct, frozen=True):
    """One book's read model: the book's folder and the file that can be deleted at will.

    `own_ends` is where this machine remembers the last lines it wrote (see `own_head`).
    """

    book: Path
    file: Path
    own_ends: Path | None = None

    def connect(self) -> sqlite3.Connection:
        """A connection to a model that holds all that the book holds now."""
        if (connection := self._current()) is not None:
            return connection
        from tracker.journal.refresh import refresh

        return refresh(self)

    def _open(self) -> sqlite3.Connection:
        return sqlite3.connect(f"file:{quote(str(self.file))}?mode=ro", uri=True)

    def _current(self) -> sqlite3.Connection | None:
        """A connection to the model that is there, if it holds all of the book."""
        if not self.file.exists():
            return None
        try:
            connection = self._open()
        except sqlite3.DatabaseError:
            return None
        if self._is_current(connection):
            return connection
        connection.close()
        return None

    def _is_current(self, connection: sqlite3.Connection) -> bool:
        now = marks(self.book)
        try:
            tables = connection.execute("SELECT count(*) FROM sqlite_master")
            if tables.fetchone()[0] < len(TABLES):
                return False
            known = read_marks(connection)
            if self.unknown_ends(connection):
                return False
        except sqlite3.DatabaseError:
            return False  # not a model, or not all of one
        return known.keys() == now.keys() and all(
            known[name].same_file(mark) for name, mark in now.items()
        )

    def unknown_ends(self, connection: sqlite3.Connection) -> dict[str, OwnEnd]:
        """The last lines written from here that this model has not seen, by file."""
        ends = {} if self.own_ends is None else own_ends(self.own_ends)
        if not ends:
            return {}
        heads = {row[0]: row[1:] for row in connection.execute(_HEADS)}
        beyond = {
            name: end for name, end in ends.items() if end.reaches_beyond(*heads.get(name, _NONE))
        }
        if beyond:  # of a file whose end is missed already nothing more is to be learnt
            for (name,) in connection.execute("SELECT file FROM damages WHERE gone").fetchall():
                beyond.pop(name, None)
        return beyond


def read_marks(connection: sqlite3.Connection) -> dict[str, Mark]:
    """How far each file had been read when the model was made."""
    rows = connection.execute("SELECT * FROM marks")
    return {row[0]: Mark(*row) for row in rows}


def batches(connection: sqlite3.Connection, *, live_only: bool = False) -> list[Batch]:
    """Every jar and blend, or those with anything still on the shelf, the first to begin first."""
    where = "WHERE live" if live_only else ""
    return _decoded(connection, _BATCHES, f"{_STATE} {where} ORDER BY born")


def jars(connection: sqlite3.Connection, *, live_only: bool = False) -> list[Jar]:
    """Every jar, or those with anything still on the shelf, in the order of their charges."""
    live = " AND live" if live_only else ""
    return _decoded(connection, _JARS, f"{_STATE} WHERE kind = 'jar'{live} ORDER BY born")


def batches_like(connection: sqlite3.Connection, code: str) -> list[Batch]:
    """Jars and blends whose shown code begins with `code`, or with which `code` begins."""
    return _decoded(
        connection,
        _BATCHES,
        f"{_STATE} WHERE upper(substr(shown, 1, length(?1))) = upper(?1)"  # of A to Z alone
        " OR upper(substr(?1, 1, length(shown))) = upper(shown) ORDER BY born",
        code,
    )


def batch_by_id(connection: sqlite3.Connection, batch_id: str) -> Batch | None:
    """The jar or blend that one event opened."""
    found = _decoded(connection, _BATCHES, f"{_STATE} WHERE id = ?", batch_id)
    return found[0] if found else None


def _decoded(
    connection: sqlite3.Connection,
    decoder: "msgspec.json.Decoder[list[One]]",
    query: str,
    *values: str,
) -> list[One]:
    rows = connection.execute(query, values).fetchall()
    found = decoder.decode(b"[" + b",".join(state for state, _ in rows) + b"]")
    for one, (_, shown) in zip(found, rows, strict=True):
        relabel(one, shown)
    return found


def lots(connection: sqlite3.Connection) -> list[Lot]:
    """Every lot, in the order they were written down."""
    return _decoded(connection, _LOTS, "SELECT state, shown FROM lots ORDER BY born")


def has_named_recall(connection: sqlite3.Connection) -> bool:
    """Whether anything is on hold with a lot that only jars name, told without decoding."""
    asked = "SELECT EXISTS (SELECT 1 FROM batches WHERE instr(state, ?))"
    return bool(connection.execute(asked, (b'"named":"',)).fetchone()[0])


def codes(connection: sqlite3.Connection) -> Iterator[str]:
    """The code of every jar and blend there ever was, as shown."""
    return (code for (code,) in connection.execute("SELECT shown FROM batches"))


def codes_near(connection: sqlite3.Connection, code: str, more: int) -> dict[str, str]:
    """The codes, by id, that are this one, begin with it, or are it without its last letters.

    Args:
        connection: an open read model.
        code: of a jar, blend or lot.
        more: how many letters may be left off.
    """
    shorter = [code[: len(code) - place] for place in range(more + 1)]
    after = f"{code}\U0010ffff"  # behind every text that begins with the code
    found: dict[str, str] = {}
    for table in ("batches", "lots"):
        rows = connection.execute(
            f"SELECT id, shown FROM {table} WHERE upper(shown) BETWEEN upper(?) AND upper(?)"
            f" OR upper(shown) IN ({', '.join(['upper(?)'] * len(shorter))})",
            (code, after, *shorter),
        )
        found.update(rows.fetchall())
    return found


def relabelled(connection: sqlite3.Connection, ids: Iterable[str]) -> dict[str, tuple[str, str]]:
    """Of each of these that is shown under another code than its own: both, by its id."""
    found: dict[str, tuple[str, str]] = {}
    for table in ("batches", "lots"):
        wanted = f"SELECT code, shown FROM {table} WHERE id = ? AND shown <> code"
        for one in ids:
            row = connection.execute(wanted, (one,)).fetchone()
            if row is not None:
                found[one] = row
    return found


def last_day(connection: sqlite3.Connection) -> date | None:
    """The latest day anything in the book happened on."""
    (text,) = connection.execute("SELECT max(day) FROM latest").fetchone()
    return date.fromisoformat(text) if text else None


def places_of(connection: sqlite3.Connection, jar_id: str) -> list[Place]:
    """Where the lines of one jar's history stand."""
    rows = connection.execute("SELECT places FROM kin WHERE jar = ?", (jar_id,)).fetchall()
    return [place for (places,) in rows for place in _PLACES.decode(places)]


def writers(connection: sqlite3.Connection) -> tuple[str, ...]:
    """Everybody whose lines the book holds, in the order of their names."""
    return tuple(name for (name,) in connection.execute("SELECT name FROM writers ORDER BY name"))


def last_number(connection: sqlite3.Connection, writer: str) -> int:
    """The number of a writer's last line; 0 where there is none."""
    last = connection.execute("SELECT max(number) FROM lines WHERE writer = ?", (writer,))
    return last.fetchone()[0] or 0


def last_places(connection: sqlite3.Connection, writer: str, most: int) -> list[Place]:
    """Where the last lines of a writer stand, the last one last."""
    rows = connection.execute(
        "SELECT event, file, offset, length FROM lines WHERE writer = ?"
        " ORDER BY number DESC LIMIT ?",
        (writer, most),
    )
    return [Place(*row) for row in rows][::-1]


def damages(connection: sqlite3.Connection) -> list[Damage]:
    """Lines that are not what was written, or not yet whole."""
    return [Damage(*row) for row in connection.execute("SELECT DISTINCT * FROM damages")]


def unplaced(connection: sqlite3.Connection) -> list[Flag]:
    """Events that have no jar to stand on, each with how it does not fit."""
    rows = connection.execute("SELECT DISTINCT flag FROM unplaced")
    return [_FLAG.decode(flag) for (flag,) in rows]


def taken_out(connection: sqlite3.Connection) -> list[str]:
    """The ids of jars, blends and lots that lines name and that nothing in force opens."""
    rows = connection.execute(
        "SELECT DISTINCT jar FROM kin WHERE jar NOT IN (SELECT id FROM batches)"
        " AND jar NOT IN (SELECT id FROM lots)"
    )
    return [jar_id for (jar_id,) in rows]
