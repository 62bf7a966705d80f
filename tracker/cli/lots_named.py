"""Lots as verbs take them: by code, by the supplier's number, or by a name of the maker's own."""

from collections.abc import Iterable

from tracker.cli.desk import Desk
from tracker.core.facts.fields import Form
from tracker.core.shelf.codes import is_lot_code
from tracker.core.shelf.find_by_code import folded, lots_called, picked_lot
from tracker.core.shelf.lot import Lot


def herb_lot(desk: Desk, text: str, form: Form) -> Lot | None:
    """The lot of herb that a code or a supplier's number names; None where it is a free text.

    Fresh herb and what was dried of it have one supplier's number: the form tells them apart.

    Raises:
        UnknownCodeError, AmbiguousCodeError: a code that none has, or a number of several.
    """
    if is_lot_code(text):
        return desk.lot(text)
    found = [lot for lot in lots_called(text, desk.book.lots()) if lot.liquid is None]
    of_form = [lot for lot in found if lot.form == form]
    return picked_lot(text, of_form or found) if found else None


def own_names(desk: Desk, texts: Iterable[str]) -> tuple[str, ...]:
    """Names of lots that are not in the book, as they were first written, whatever the case."""
    known = {folded(name): name for jar in desk.book.jars() for name in jar.lots}
    plain = [" ".join(text.split()) for text in texts]
    return tuple(dict.fromkeys(known.get(folded(one), one) for one in plain))
