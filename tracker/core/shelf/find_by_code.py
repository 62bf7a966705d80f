"""What a code that a person typed names, whole or shortened."""

from collections.abc import Callable, Sequence

from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch, Thing, things
from tracker.core.values.errors import AmbiguousCodeError, UnknownCodeError
from tracker.core.values.near_names import near_names


def picked(code: str, batches: Sequence[Batch], every_code: Callable[[], list[str]]) -> Thing:
    """The one thing a code names among these; of several, the one still on the shelf.

    Raises:
        UnknownCodeError, AmbiguousCodeError: none fits, or several do.
    """
    wanted = code.strip().upper()
    found = [thing for batch in batches for thing in things(batch)]
    # A jar of a code given twice, …-01b, is not the second extract of the first, …-01B.
    to_the_letter = [thing for thing in found if thing.code == code.strip()]
    exact = to_the_letter or [thing for thing in found if thing.code.upper() == wanted]
    fits = exact or [thing for thing in found if thing.code.upper().startswith(wanted)]
    fitting = {thing.batch.id for thing in fits}
    if len(fitting) > 1:
        live = [thing for thing in fits if thing.batch.is_live]
        if len({thing.batch.id for thing in live}) == 1:
            fits, fitting = live, {live[0].batch.id}
    if not fits:
        raise UnknownCodeError(code, near_names(wanted, every_code()))
    if len(fitting) > 1:
        # One name for each jar or blend: its bottles would crowd the others out.
        raise AmbiguousCodeError(
            code, sorted({thing.batch.id: thing.code for thing in reversed(fits)}.values())
        )
    return fits[0]


def picked_lot(code: str, lots: Sequence[Lot]) -> Lot:
    """The one lot a code names.

    Raises:
        UnknownCodeError, AmbiguousCodeError: none fits, or several do.
    """
    wanted = code.strip().upper()
    exact = [lot for lot in lots if lot.code.upper() == wanted]
    fits = exact or [lot for lot in lots if lot.code.upper().startswith(wanted)]
    if not fits:
        near = near_names(wanted, [lot.code for lot in lots])
        raise UnknownCodeError(code, near, list_verb="lots")
    if len(fits) > 1:
        raise AmbiguousCodeError(code, [lot.code for lot in fits])
    return fits[0]


def picked_any(
    code: str, find: Callable[[str], Thing], lots: Callable[[], Sequence[Lot]]
) -> Thing | Lot:
    """The jar, extract, bottle or lot a code names; a lot of another code in full only.

    Raises:
        UnknownCodeError, AmbiguousCodeError: none fits, or several do.
    """
    wanted = code.strip().upper()
    if wanted.startswith("LOT-"):
        return picked_lot(code, lots())
    try:
        return find(code)
    except UnknownCodeError:
        lot = next((one for one in lots() if one.code.upper() == wanted), None)
        if lot is None:
            raise
        return lot
