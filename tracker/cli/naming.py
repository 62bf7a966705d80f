"""What a code names: a jar, liquor, bottle or lot, or what was once told under it."""

from contextlib import closing
from datetime import date

from tracker.bench import Bench
from tracker.core.errors import UnknownCodeError
from tracker.core.events import Entry
from tracker.core.shelf import HOUSE, Lot, Thing
from tracker.core.tellings import is_told_under
from tracker.journal import readmodel
from tracker.journal.files import read_book


def thing_or_lot(bench: Bench, code: str, on: date | None = None) -> Thing | Lot:
    """The jar, liquor, bottle or lot of that code; a lot of another code in full only.

    Raises:
        UnknownCodeError, AmbiguousCodeError: none fits, or several do.
    """
    if code.strip().upper().startswith("LOT-"):
        return bench.find_lot(code)
    try:
        return bench.find(code, on=on)
    except UnknownCodeError:
        wanted = code.strip().upper()
        lot = next((one for one in bench.lots() if one.code.upper() == wanted), None)
        if lot is None:
            raise
        return lot


def taken_out(bench: Bench, code: str) -> dict[str, list[Entry]]:
    """The entries of each jar or lot told under a code that nothing in force opens."""
    with closing(bench.model.connect()) as connection:
        ids = [one for one in readmodel.taken_out(connection) if one != HOUSE]
    told = {jar_id: bench.entries_of(jar_id) for jar_id in ids}
    return {
        jar_id: own
        for jar_id, own in told.items()
        if any(is_told_under(code, one) for one in own)
    }


def once_told(bench: Bench, code: str) -> dict[str, list[Entry]]:
    """The entries of each jar or lot that any line ever named by a code; reads them all."""
    placed, _ = read_book(bench.book)
    ids = {jar for one in placed if is_told_under(code, one.entry) for jar in one.entry.jars}
    return {jar_id: bench.entries_of(jar_id) for jar_id in sorted(ids - {HOUSE})}
