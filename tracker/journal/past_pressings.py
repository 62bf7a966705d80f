"""Earlier jars of one herb, without decoding the whole shelf."""

from contextlib import closing
from datetime import date

import msgspec

from tracker.core.shelf.jar import Jar
from tracker.journal.read_model import ReadModel

_MOST = 60  # the newest so many say enough, and cost little in a book of any age


def pressed_alike(model: ReadModel, herb: str, through: date) -> list[Jar]:
    """The newest jars of a herb written the same way that were pressed by that day."""
    with closing(model.connect()) as connection:
        rows = connection.execute(
            "SELECT state FROM batches WHERE kind = 'jar' AND instr(state, ?) AND instr(state, ?)"
            " ORDER BY born DESC LIMIT ?",
            (b'"herb":' + msgspec.json.encode(herb), b'"pressed_ml":', _MOST),
        ).fetchall()
    found = msgspec.json.decode(b"[" + b",".join(state for (state,) in rows) + b"]", type=list[Jar])
    return [
        one for one in found if any(extract.pressed.earliest <= through for extract in one.extracts)
    ]
