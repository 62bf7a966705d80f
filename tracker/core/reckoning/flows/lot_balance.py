"""What became of each lot: used, dried, thrown out, missing, and what is left of it."""

from bisect import bisect
from collections.abc import Iterable, Sequence

import msgspec
from msgspec.structs import replace

from tracker.core.shelf.contents import DROP_ML, Use
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.lot import Lot, LotChange
from tracker.core.shelf.misfit import LotUnknown, Overdrawn
from tracker.core.shelf.thing import Batch
from tracker.core.values.times import When


class Missing(msgspec.Struct, frozen=True):
    """What a count did not find of a lot; below zero where it found more than the book had."""

    event: str
    on: When
    amount: float


class Account(msgspec.Struct, frozen=True):
    """Where a lot went, g of herb or ml of liquid; `unweighed` uses took an unknown amount.

    What came in is what was used, dried, discarded, unaccounted and left. What is left is below
    zero where more was used than there was.
    """

    amount: float
    used: float
    dried: float
    discarded: float
    left: float
    unweighed: int = 0
    missing: tuple[Missing, ...] = ()
    counted: When | None = None

    @property
    def unaccounted(self) -> float:
        """What counts did not find, less what they found beyond the book."""
        return sum(one.amount for one in self.missing)

    @property
    def is_overdrawn(self) -> bool:
        """Whether more of it was used than there was."""
        return self.left < -DROP_ML

    @property
    def is_used_up(self) -> bool:
        """Whether nothing is left that could be used."""
        return self.left < DROP_ML


def uses_by_lot(batches: Iterable[Batch]) -> dict[str, list[Use]]:
    """Every use that jars made of lots, by the lot's id."""
    found: dict[str, list[Use]] = {}
    for batch in batches:
        for use in batch.uses:
            if use.lot is not None:
                found.setdefault(use.lot, []).append(use)
    return found


def account(lot: Lot, uses: Iterable[Use]) -> Account:
    """What became of one lot, from the uses that were made of it.

    A count says what there was then: what happened before it, whenever that was written down,
    changes what was missing at the count, and what happens after it takes from what was found.
    """
    counts = lot.counts
    orders = [one.order for one in counts]
    spans = [_Span() for _ in range(len(counts) + 1)]
    for use in uses:
        spans[bisect(orders, use.order)].add_use(use)
    for change in lot.changes:
        if change.how != "counted":
            spans[bisect(orders, change.order)].add_change(change)
    there, missing = lot.amount, []
    for span, count in zip(spans, counts, strict=False):
        missing.append(
            Missing(count.event, count.on, span.settle(there, lot.amount) - count.amount)
        )
        there = count.amount
    left = spans[-1].settle(there, lot.amount)
    return Account(
        lot.amount,
        sum(one.used for one in spans),
        sum(one.dried for one in spans),
        sum(one.discarded for one in spans),
        left,
        sum(one.unweighed for one in spans),
        tuple(missing),
        counts[-1].on if counts else None,
    )


def weighed(one: Account, ml_of_gram: float) -> Account:
    """The same in grams of what is kept in millilitres."""
    return Account(
        one.amount / ml_of_gram,
        one.used / ml_of_gram,
        one.dried / ml_of_gram,
        one.discarded / ml_of_gram,
        one.left / ml_of_gram,
        one.unweighed,
        tuple(replace(each, amount=each.amount / ml_of_gram) for each in one.missing),
        one.counted,
    )


class _Span(msgspec.Struct):
    """What was taken of a lot between one count and the next."""

    used: float = 0.0
    dried: float = 0.0
    thrown: list[float] = msgspec.field(default_factory=list)
    discarded: float = 0.0
    unweighed: int = 0

    def add_use(self, use: Use) -> None:
        if use.amount is None:
            self.unweighed += 1
        else:
            self.used += use.amount

    def add_change(self, change: LotChange) -> None:
        if change.how == "dried":
            self.dried += change.amount
        else:
            self.thrown.append(change.amount)

    def settle(self, there: float, whole: float) -> float:
        """What is left at its end of what was there at its beginning.

        A lot thrown out without a number is booked as the whole of it: it was what was left.
        """
        left = there - self.used - self.dried
        for amount in self.thrown:
            gone = amount if amount < whole else max(left, 0.0)
            self.discarded += gone
            left -= gone
        return left


def left(lot: Lot, batches: Iterable[Batch]) -> float:
    """How much of a lot is left, g of herb or ml of liquid."""
    return account(lot, uses_by_lot(batches).get(lot.id, ())).left


def accounts(lots: Sequence[Lot], batches: Iterable[Batch]) -> list[tuple[Lot, Account]]:
    """Each lot with what became of it."""
    uses = uses_by_lot(batches)
    return [(lot, account(lot, uses.get(lot.id, ()))) for lot in lots]


def overdrawn(lots: Sequence[Lot], batches: Iterable[Batch]) -> list[Flag]:
    """The lots of which more was used than there was, and uses of lots that are none."""
    known, found = {lot.id for lot in lots}, list(batches)
    gone = [
        Flag(use.event, LotUnknown(), asks=True)
        for lot_id, uses in uses_by_lot(found).items()
        if lot_id not in known
        for use in uses
    ]
    return gone + [
        Flag(lot.id, Overdrawn(lot.code, -one.left, lot.unit), asks=True)
        for lot, one in accounts(lots, found)
        if one.is_overdrawn
    ]
