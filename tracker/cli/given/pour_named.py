"""What of the book a pour names: a lot, an extract or a bottle, and how much of it."""

import re
from collections.abc import Iterator, Sequence
from typing import Protocol

import msgspec

from tracker.cli.given.pour_sources import code_shaped, own_code, to_pour_from
from tracker.core.facts.fields import Pour
from tracker.core.practice.practice import UnitSystem
from tracker.core.shelf.find_by_code import lots_called, picked_lot
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Thing, a_kind
from tracker.core.values.errors import (
    AmbiguousAmountError,
    AmbiguousPourError,
    BookError,
    QuantityError,
    Reading,
    RefusedError,
    UnknownCodeError,
)
from tracker.pours.liquid_meant import Meant, says_a_liquid
from tracker.pours.reading import amount_of, pour, without_amount
from tracker.quantities import MOST_LETTERS, Amount, grams, millilitres

_LOT = re.compile(r"\bLOT-\d{2}-\d+[a-z]*\b", re.IGNORECASE)
# What stands between an amount and a code: 500 ml of VK 12, 500 ml lot VK 12.
_LINK = re.compile(r"(?:(?:^|\s)(?:of|from|lot))+\s*$", re.IGNORECASE)


class Book(Protocol):
    """Where what a pour names is looked up."""

    def find(self, code: str) -> Thing:
        """The thing a code names."""

    def lots(self) -> Sequence[Lot]:
        """Every lot."""


class Named(msgspec.Struct, frozen=True):
    """What is poured out of, and the amount beside it as it was written."""

    source: Lot | Thing
    much: str


def named_in(text: str, book: Book, units: UnitSystem) -> Named | None:
    """What of the book a pour names; None where it is a liquid by its own words.

    A code or a supplier's number that may be read as a liquid as well is asked about.

    Raises:
        AmbiguousPourError: it may be a liquid, an extract or a lot.
        UnknownCodeError, AmbiguousCodeError: what looks like a code names nothing, or several.
        RefusedError: it names a jar that holds its herb, or has no extract, or several.
    """
    if len(text) > MOST_LETTERS:  # too long for a pour, and refused where it is read as one
        return None
    if found := _LOT.search(text):
        return Named(_liquid(found[0], book), _amount(text.replace(found[0], "")))
    shape = code_shaped(text)
    asked = None
    if shape is None:
        try:
            if _is_known(pour(text, units)):
                return None
        except AmbiguousPourError as reason:
            asked = reason if says_a_liquid(without_amount(text, units)) else None
        except QuantityError:
            pass
    try:
        ways = list(_of_the_book(text, book, is_liquid=asked is not None))
    except BookError:  # there is none yet, and `strength` needs none
        if shape is not None:
            raise
        return None
    return _the_one(text, ways, asked)


def _the_one(text: str, ways: list[Named], asked: AmbiguousPourError | None) -> Named | None:
    if asked is None and len(ways) < 2:
        return ways[0] if ways else None
    if not ways:
        return None
    readings = [Reading(f"{one.much} {one.source.code}", _what(one.source)) for one in ways]
    if asked is not None:
        raise AmbiguousPourError(text, asked.why, [*asked.readings, *readings])
    raise AmbiguousPourError(text, "that is a lot's number and a code as well", readings)


def _liquid(code: str, book: Book) -> Lot:
    lot = picked_lot(code, book.lots())
    if lot.liquid is None:
        raise RefusedError(lot.code, f"it is herb: {lot.what}", do="name a lot of a liquid.")
    return lot


def _of_the_book(text: str, book: Book, *, is_liquid: bool) -> Iterator[Named]:
    """The lot whose number ends the text, and the thing whose code it names.

    Where the text may be a liquid as well, a code that cannot be poured is not meant.
    """
    lots = [lot for lot in book.lots() if lot.liquid is not None]
    numbered = _numbered(text, lots)
    if numbered is not None:
        yield numbered
    try:
        code = code_shaped(text) or own_code(text, book.find)
        if code is not None:
            before, _, after = text.partition(code)
            yield Named(to_pour_from(book.find(code)), _amount(f"{before} {after}"))
    except (UnknownCodeError, RefusedError):
        if numbered is None and not is_liquid:
            raise


def _numbered(text: str, lots: Sequence[Lot]) -> Named | None:
    """The lot whose supplier's number ends a pour.

    Raises:
        AmbiguousCodeError: several lots have that number.
    """
    words = text.split()
    for begin in range(1, len(words)):
        number = " ".join(words[begin:])
        if any(map(str.isdecimal, number)) and lots_called(number, lots):
            return Named(picked_lot(number, lots), _amount(" ".join(words[:begin])))
    return None


def much_of(named: Named, units: UnitSystem) -> Amount:
    """How much of it, in millilitres.

    Raises:
        AmbiguousPourError: the amount may be read in more than one way.
        QuantityError: it is none.
    """
    try:
        return _much(named, units)
    except AmbiguousAmountError as asked:
        code = named.source.code
        readings = [Reading(f"{one.written} {code}", one.comes_to) for one in asked.readings]
        raise AmbiguousPourError(f"{named.much} {code}", asked.why, readings) from None


def _much(named: Named, units: UnitSystem) -> Amount:
    if isinstance(named.source, Lot):
        return amount_of_lot(named.source, named.much, units)
    return millilitres(named.much, units)


def amount_of_lot(lot: Lot, text: str, units: UnitSystem, *, may_be_none: bool = False) -> Amount:
    """So much of a lot: g of herb; ml of a liquid, which may be weighed.

    Raises:
        AmbiguousAmountError: it may be read in more than one way.
        QuantityError: it is no such amount.
    """
    if lot.liquid is None:
        return grams(text, units, may_be_none=may_be_none)
    meant = Meant(lot.liquid, lot.ethanol_pct_vol, lot.name, lot.glycerin_pct_mass)  # type: ignore[arg-type]  # a lot has no other liquids than a pour
    return amount_of(text, meant, units, may_be_none=may_be_none)


def pour_of_lot(lot: Lot, amount: Amount, written: str) -> Pour:
    """So much of a lot, as the lot has it."""
    return Pour(
        liquid=lot.liquid,  # type: ignore[arg-type]  # a lot has no other liquids than a pour
        volume_ml=amount.value,
        ethanol_pct_vol=lot.ethanol_pct_vol,
        glycerin_pct_mass=lot.glycerin_pct_mass,
        name=lot.name,
        written=written.strip(),
        known=amount.known,
        lot=lot.id,
    )


def _amount(text: str) -> str:
    return _LINK.sub("", " ".join(text.split())).strip()


def _is_known(read: Pour) -> bool:
    """Whether what was read is a liquid, and not a word that nobody knows."""
    return read.ethanol_pct_vol is not None and read.liquid != "other"


def _what(source: Lot | Thing) -> str:
    return f"the lot of {source.what}" if isinstance(source, Lot) else a_kind(source)
