"""What a code names where it may be a lot as well as a jar, liquor or bottle."""

from datetime import date

from tracker.bench import Bench
from tracker.core.errors import UnknownCodeError
from tracker.core.shelf import Lot, Thing


def thing_or_lot(bench: Bench, code: str, on: date | None = None) -> Thing | Lot:
    """The jar, liquor, bottle or lot of that code; a lot where only it is written in full.

    Raises:
        UnknownCodeError, AmbiguousCodeError: none fits, or several do.
    """
    wanted = code.strip().upper()
    exact = [lot for lot in bench.lots() if lot.code.upper() == wanted]
    try:
        found = bench.find(code, on=on)
    except UnknownCodeError:
        if not bench.lots():
            raise
        return bench.find_lot(code)
    return exact[0] if exact and found.code.upper() != wanted else found
