"""Codes for what a verb opens: the maker's own, or the next in the row."""

import re
from collections.abc import Iterable, Sequence

from tracker.cli.desk import Desk
from tracker.core.shelf.codes import code_stem, is_lot_code, lot_stem, next_numbers
from tracker.core.shelf.jar import Jar
from tracker.core.values.errors import MisusedError, RefusedError

_OWN_CODE = re.compile(r"[A-Za-z0-9][A-Za-z0-9-]{0,18}[A-Za-z0-9]")


def next_codes(own: str | None, count: int, stem: str, taken: list[str]) -> list[str]:
    """As many free codes as there are jars: the maker's own, or the next in the row."""
    if own is None:
        return next_numbers(stem, taken, count)
    codes = [own] if count == 1 else [f"{own}{number:02d}" for number in range(1, count + 1)]
    return [_free_code(one, taken) for one in codes]


def codes_for(desk: Desk, jar: Jar, count: int, own: Sequence[str] | None) -> list[str]:
    """Codes for new jars with the herb of this one.

    Raises:
        MisusedError: there are more or fewer codes of the maker's own than jars.
    """
    taken = desk.book.codes()
    if not own:
        return next_codes(None, count, code_stem(jar.herb, desk.happened.start.year), taken)
    if len(own) != count:
        raise MisusedError(
            f"{count} jars need {count} codes.", where="--code", do="give one for each jar."
        )
    given: list[str] = []
    for one in own:
        given += next_codes(one, 1, "", [*taken, *given])
    return given


def next_lot_code(desk: Desk) -> str:
    """The code of the next lot of the year."""
    taken = [lot.code for lot in desk.book.lots()]
    return next_numbers(lot_stem(desk.happened.start.year), taken)[0]


def _free_code(own: str, taken: Iterable[str]) -> str:
    """A code of the maker's own, if it can be one and is free.

    Raises:
        RefusedError: it is taken, or cannot be a code.
    """
    if not _OWN_CODE.fullmatch(own) or is_lot_code(own):
        raise RefusedError(
            own, "that cannot be a code", do="use letters, digits and hyphens, 2 to 20 of them."
        )
    if own.upper() in {code.upper() for code in taken}:
        raise RefusedError(own, "that code is taken", do="leave --code out, or take another.")
    return own
