"""Earlier jars of one herb, without decoding the whole shelf."""

import sqlite3
from datetime import date

import msgspec

from tracker.core.shelf.jar import Jar

_MOST = 60  # the newest so many say enough, and cost little in a book of any age


def pressed_alike(connection: sqlite3.Connection, herb: str, through: date) -> list[Jar]:
    """The newest jars of a herb written the same way that were pressed by that day."""
    found = _alike(connection, herb, b'"pressed_ml":')
    return [
        one for one in found if any(extract.pressed.earliest <= through for extract in one.extracts)
    ]


def read_alike(connection: sqlite3.Connection, herb: str) -> list[Jar]:
    """The newest jars of a herb written the same way of which it was read what they stood at."""
    return _alike(connection, herb, b'"filled_ml":')


def _alike(connection: sqlite3.Connection, herb: str, has: bytes) -> list[Jar]:
    rows = connection.execute(
        "SELECT state FROM batches WHERE kind = 'jar' AND instr(state, ?) AND instr(state, ?)"
        " ORDER BY born DESC LIMIT ?",
        (b'"herb":' + msgspec.json.encode(herb), has, _MOST),
    ).fetchall()
    return msgspec.json.decode(b"[" + b",".join(state for (state,) in rows) + b"]", type=list[Jar])
