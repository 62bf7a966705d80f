"""Lots as verbs take them: by code, by the supplier's number, or by a name of the maker's own."""

import re
from collections.abc import Iterable

from tracker.cli.desk import Desk
from tracker.cli.given.things_named import LAST
from tracker.core.facts.fields import Form
from tracker.core.reckoning.flows.named_lots import NamedLots, key_of
from tracker.core.shelf.codes import is_lot_code
from tracker.core.shelf.find_by_code import folded, lots_called, picked_lot
from tracker.core.shelf.find_by_name import named
from tracker.core.shelf.lot import Lot
from tracker.core.values.errors import AmbiguousCodeError, UnknownCodeError
from tracker.core.values.near_names import edits, near_names

# So many letters apart, a name may be a supplier's number with a slip in it.
_SLIPS = 2
_MOST = 6
# Codes of several lots, which would be kept as a name else.
_RANGE = re.compile(r"LOT-.*\.\.", re.IGNORECASE)


def herb_lot(desk: Desk, text: str, form: Form) -> Lot | None:
    """The lot of herb that a code or a supplier's number names; None where it is a free text.

    Fresh herb and what was dried of it have one supplier's number: the form tells them apart.

    Raises:
        UnknownCodeError, AmbiguousCodeError: a code that none has, or a number of several.
        MisusedError: a range of codes.
    """
    if is_lot_code(text) or text.strip() == LAST or _RANGE.match(text.strip()):
        return desk.lot(text)
    found = [lot for lot in lots_called(text, desk.book.lots()) if lot.liquid is None]
    of_form = [lot for lot in found if lot.form == form]
    return picked_lot(text, of_form or found) if found else None


def own_names(desk: Desk, texts: Iterable[str]) -> tuple[str, ...]:
    """Names of lots that are not in the book, as they were first written, whatever the case."""
    plain = [" ".join(text.split()) for text in texts]
    if not plain:
        return ()
    lots = desk.book.lots()
    known = NamedLots(desk.book.batches(), lots).names
    numbers = [lot.their_lot for lot in lots if lot.their_lot is not None]
    for one in plain:
        near = near_names(one, numbers) if numbers and key_of(one) not in known else []
        if near and edits(folded(one), folded(near[0]), _SLIPS) <= _SLIPS:
            desk.remarks.append(
                f"No lot has the number {one}, so it is kept as a name; did you mean {near[0]}?"
            )
        elif key_of(one) not in known and (stored := _of_that_name(one, lots)):
            desk.remarks.append(
                f"{one} is kept as a name, and no lot gets less by it; in the book: {stored}."
            )
    return tuple(dict.fromkeys(known.get(key_of(one), one) for one in plain))


def _of_that_name(text: str, lots: Iterable[Lot]) -> str:
    """The codes of lots whose herb a free text names: one of them may be meant."""
    found = [lot.code for lot in named(text, list(lots)) if lot.liquid is None]
    more = f" and {len(found) - _MOST} more" if len(found) > _MOST else ""
    return f"{', '.join(found[:_MOST])}{more}" if found else ""


def the_named(text: str, names: NamedLots, unknown: UnknownCodeError) -> str:
    """The key of the one lot that charges name so.

    Raises:
        UnknownCodeError, AmbiguousCodeError: none is named so, or several are.
    """
    keys = names.called(text)
    if not keys:
        raise unknown
    if len(keys) > 1:
        raise AmbiguousCodeError(text, [names.names[key] for key in keys])
    return keys[0]


def unknown_lot(text: str, names: NamedLots, lots: Iterable[Lot]) -> UnknownCodeError:
    """That no lot goes by a text, with the codes, numbers and names that are near."""
    known = {*names.names.values()}
    for lot in lots:
        known |= {lot.code} | ({lot.their_lot} if lot.their_lot is not None else set())
    return UnknownCodeError(text, near_names(text, known), list_verb="lots")
