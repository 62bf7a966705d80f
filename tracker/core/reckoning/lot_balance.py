"""What became of each lot: used, dried, thrown out, and what is left of it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from tracker.core.shelf.contents import DROP_ML, Use
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.misfit import LotUnknown, Overdrawn
from tracker.core.shelf.thing import Batch


@dataclass(frozen=True, slots=True)
class Account:
    """Where a lot went, g of herb or ml of liquid; `unweighed` uses took an unknown amount.

    What is left is below zero where more was used than there was.
    """

    amount: float
    used: float
    dried: float
    discarded: float
    left: float
    unweighed: int = 0

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
    """What became of one lot, from the uses that were made of it."""
    amounts = [use.amount for use in uses]
    used = sum(amount for amount in amounts if amount is not None)
    there = lot.amount - used - lot.dried_g
    discarded = 0.0
    for gone in lot.discards.values():
        # A lot thrown out without a number is booked as all of it: it was what was left.
        whole = gone >= lot.amount
        discarded += max(there - discarded, 0.0) if whole else gone
    left = there - discarded
    return Account(lot.amount, used, lot.dried_g, discarded, left, amounts.count(None))


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
