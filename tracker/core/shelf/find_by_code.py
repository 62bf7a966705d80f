"""What a code that a person typed names, whole or shortened."""

from collections.abc import Callable, Iterable, Sequence

from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch, Thing, things
from tracker.core.values.errors import AmbiguousCodeError, AmbiguousLotError, UnknownCodeError
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


def folded(text: str) -> str:
    """A supplier's number, or the name of a lot, without capitals and blanks."""
    return "".join(text.split()).casefold()


def lots_numbered(number: str, lots: Iterable[Lot]) -> list[Lot]:
    """The lots of a supplier's number, whatever its capitals and blanks."""
    wanted = folded(number)
    return [lot for lot in lots if lot.their_lot is not None and folded(lot.their_lot) == wanted]


def lots_called(text: str, lots: Sequence[Lot]) -> list[Lot]:
    """The lots a code in full or a supplier's number names: none, one or several."""
    wanted = text.strip().upper()
    return [lot for lot in lots if lot.code.upper() == wanted] or lots_numbered(text, lots)


def picked_lot(code: str, lots: Sequence[Lot]) -> Lot:
    """The one lot a code names, whole or shortened, or a supplier's number in full.

    Raises:
        UnknownCodeError, AmbiguousCodeError: none fits, or several do.
    """
    wanted = code.strip().upper()
    fits = lots_called(code, lots)
    fits = fits or [lot for lot in lots if lot.code.upper().startswith(wanted)]
    if not fits:
        numbers = [lot.their_lot for lot in lots if lot.their_lot is not None]
        near = near_names(wanted, {*(lot.code for lot in lots), *numbers})
        raise UnknownCodeError(code, near, list_verb="lots")
    return _the_one(code, fits)


def _the_one(code: str, fits: Sequence[Lot]) -> Lot:
    if len(fits) > 1:
        if lots_numbered(code, fits) == list(fits):
            raise AmbiguousLotError(code, [f"{lot.code} ({lot.what})" for lot in fits])
        raise AmbiguousCodeError(code, [lot.code for lot in fits])
    return fits[0]


def picked_any(
    code: str, find: Callable[[str], Thing], lots: Callable[[], Sequence[Lot]]
) -> Thing | Lot:
    """The jar, extract, bottle or lot a code names; a lot of another code in full only.

    A supplier's number in full is as good as the code of the lot; a jar whose code only begins
    like it is not taken for it.

    Raises:
        UnknownCodeError, AmbiguousCodeError: none fits, or several do.
    """
    wanted = code.strip().upper()
    if wanted.startswith("LOT-"):
        return picked_lot(code, lots())
    try:
        thing = find(code)
    except (UnknownCodeError, AmbiguousCodeError) as reason:
        found = lots_called(code, lots())
        if not found:
            raise _nearer(reason, code, lots()) from None
        return _the_one(code, found)
    if thing.code.upper() != wanted and (found := lots_numbered(code, lots())):
        raise AmbiguousCodeError(code, [thing.code, *(lot.code for lot in found)])
    return thing


def _nearer(
    reason: UnknownCodeError | AmbiguousCodeError, code: str, lots: Sequence[Lot]
) -> UnknownCodeError | AmbiguousCodeError:
    """The same refusal, with suppliers' numbers that are near where nothing else is."""
    numbers = [lot.their_lot for lot in lots if lot.their_lot is not None]
    if isinstance(reason, AmbiguousCodeError) or not numbers:
        return reason
    near = near_names(code, numbers)
    return UnknownCodeError(code, [*near, *reason.near][:3]) if near else reason
