"""What a code or a name means where something is asked, with the book on no lock."""

from datetime import date
from typing import TYPE_CHECKING

from tracker.bench.bench import Bench
from tracker.bench.last_named import remember_named
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch, Thing
from tracker.core.values.errors import AmbiguousCodeError, SeveralFitError, UnknownCodeError
from tracker.core.values.text import shown

if TYPE_CHECKING:
    from tracker.cli.desk import Desk


def thing_asked(
    bench: Bench, code: str, on: date | None = None, *, as_json: bool = False
) -> Thing | Lot:
    """The jar, extract, bottle or lot that is asked about; the next `.` stands for it.

    Raises:
        UnknownCodeError, SeveralFitError: none fits, or several do and nobody chooses.
    """
    try:
        thing = bench.find_any(code, on=on)
    except (UnknownCodeError, AmbiguousCodeError):
        from tracker.cli.desk import Desk  # most codes need none of this

        thing = _meant(Desk(bench, as_json=as_json), code, on)
    remember_named(bench.state, [thing.code])
    return thing


def code_asked(desk: "Desk", code: str, on: date | None = None) -> str:
    """The code of what is asked about; a code that only lines name stays as it is.

    Raises:
        SeveralFitError: several fit, and nobody chooses.
    """
    from tracker.cli.find import taken_out

    try:
        return thing_asked(desk.bench, code, on, as_json=desk.as_json).code
    except UnknownCodeError:
        return code
    except (AmbiguousCodeError, SeveralFitError):
        if taken_out(desk.bench, code):
            return code
        raise


class _AsOf:
    """The bench as it was on a day."""

    def __init__(self, bench: Bench, on: date | None) -> None:
        self._bench, self._on = bench, on

    def batches(self, *, live_only: bool = False) -> list[Batch]:
        """Every jar and blend, or those with anything still on the shelf."""
        return self._bench.batches(live_only=live_only, on=self._on)

    def lots(self) -> list[Lot]:
        """Every lot."""
        return self._bench.lots()

    def find_any(self, code: str) -> Thing | Lot:
        """What a code names."""
        return self._bench.find_any(code, on=self._on)


def _meant(desk: "Desk", code: str, on: date | None) -> Thing | Lot:
    from tracker.cli.given.things_named import Sought, meant
    from tracker.cli.screen import say
    from tracker.core.shelf.acted_on import any_of

    book = _AsOf(desk.bench, on)
    thing = meant(desk, code, book.find_any, Sought(book, any_of, else_lots=True))
    for remark in desk.remarks:
        say(shown(remark), err=True)
    desk.remarks.clear()
    return thing
