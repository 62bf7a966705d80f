"""What is given at a stocktake, read: an amount, or a number of bottles."""

import re
from collections.abc import Callable, Sequence

from tracker.core.facts.fields import Known
from tracker.core.practice.practice import UnitSystem
from tracker.core.reckoning.shelf_count import Counting, Found, OnShelf, ToCount, on_shelf
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import bottle_of
from tracker.core.values.errors import MisusedError
from tracker.quantities import Amount, millilitres

AS_THE_BOOK = frozenset({"", "ok", "y", "yes"})
NOT_THERE = frozenset({"-", "–", "none", "0"})
_NUMBER = re.compile(r"\d+(?:[.,]\d+)?")  # of the unit that the book says it in
_BOTTLE = re.compile(r"/\s*(\d+)\s+(.+)")


def found_of(item: ToCount, text: str, units: UnitSystem) -> Found:
    """What an answer says was found of an item.

    Raises:
        QuantityError, MisusedError: it says nothing that can be so.
    """
    said = text.strip().lower()
    if said in AS_THE_BOOK:
        known: Known = "measured" if item.size_ml is not None else "by eye"
        return Found(item, tuple(Counting(one, one.book, known) for one in item.own))
    if said in NOT_THERE:
        return Found(item, tuple(Counting(one, 0.0) for one in item.own))
    if item.size_ml is not None:
        return _bottles(item, text, units)
    is_bare = _NUMBER.fullmatch(said) is not None
    amount = amount_reader(item.lot)(f"{said} {item.own[0].unit}" if is_bare else text, units)
    bottle = None if item.thing is None else item.thing.bottle
    if bottle is not None:
        _must_hold(item.code, bottle.size_ml, amount.value)
    there = amount.value / (item.own[0].ml_of_gram or 1.0)
    return Found(item, (Counting(item.own[0], there, amount.known, amount.written),))


def amount_reader(lot: Lot | None) -> Callable[[str, UnitSystem], Amount]:
    """How an amount is read: herb and sugar are weighed, any other liquid is measured."""
    if lot is None or lot.liquid not in (None, "sugar"):
        return lambda text, units: millilitres(text, units, may_be_none=True)
    from tracker.cli.given.pour_named import amount_of_lot

    return lambda text, units: amount_of_lot(lot, text, units, may_be_none=True)


def _must_hold(code: str, size_ml: float, volume_ml: float) -> None:
    if volume_ml > size_ml + DROP_ML:
        raise MisusedError(
            f"{code} holds {size_ml:g} ml.", where="the count", do="read the measure again."
        )


def _bottles(item: ToCount, text: str, units: UnitSystem) -> Found:
    """`3`, or `2, /4 60 ml`: so many full ones, and what is in those that are named."""
    full: int | None = None
    named: dict[int, Amount] = {}
    for part in text.split(","):
        if match := _BOTTLE.fullmatch(part.strip()):
            named[int(match[1])] = millilitres(match[2], units, may_be_none=True)
        elif full is None and part.strip().isdecimal():
            full = int(part)
        else:
            raise MisusedError(
                f"{part.strip()!r} is not a number of bottles.",
                where=item.label,
                do="say how many are full, and what is in one that is not: 2, /4 60 ml.",
            )
    own = {one.about.bottle: one for one in item.own}
    others = {number: _other(item, number) for number in named if number not in own}
    for number, amount in named.items():
        size_ml = _size(item, number)
        _must_hold(f"{item.code}/{number}", size_ml, amount.value)
    left = [number for number in own if number not in named]
    full = len(left) if full is None else full
    if full > len(left):
        raise MisusedError(
            f"The book has {len(left)} full{' beside those' if named else ''}, not {full}.",
            where=item.label,
            do=f"name one that is back by its number, /4 {item.size_ml:g} ml; "
            "write down with `stillroom bottle` what was filled.",
        )
    gone = set(left[: len(left) - full])
    counted = [_counting(one, number, named, gone) for number, one in (own | others).items()]
    return Found(item, tuple(counted))


def _counting(
    one: OnShelf, number: int | None, named: dict[int, Amount], gone: "set[int | None]"
) -> Counting:
    amount = named.get(number or 0)
    if amount is not None:
        return Counting(one, amount.value, amount.known, amount.written)
    return Counting(one, 0.0 if number in gone else one.book)


def _other(item: ToCount, number: int) -> OnShelf:
    """A bottle that the book has as empty, or counts by itself."""
    thing = item.thing
    bottle = None if thing is None or thing.extract is None else thing.extract.bottle(number)
    if thing is None or thing.extract is None or bottle is None:
        raise MisusedError(
            f"{item.code} has no bottle {number}.",
            where=item.label,
            do="read the number on its label again.",
        )
    if bottle.volume_ml >= DROP_ML:
        raise MisusedError(
            f"{item.code}/{number} is counted by itself.",
            where=item.label,
            do="leave it out here.",
        )
    return on_shelf(bottle_of(thing.batch, thing.extract, bottle), {})


def _size(item: ToCount, number: int) -> float:
    assert item.thing is not None
    assert item.thing.extract is not None
    bottle = item.thing.extract.bottle(number)
    return bottle.size_ml if bottle is not None else 0.0


def label_key(text: str) -> str:
    """A label, however it was typed: blanks and capitals do not count."""
    return "".join(text.split()).casefold()


def labels(items: Sequence[ToCount]) -> dict[str, ToCount]:
    """The items by what they are called on a sheet."""
    return {label_key(one.label): one for one in items}
