"""Money: exact decimals, shared out so that the parts add up to what was paid."""

import re
from collections.abc import Sequence
from decimal import ROUND_FLOOR, Decimal
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fractions import Fraction

# How the book writes an amount of money: at most six digits after the point.
MONEY = r"^[0-9]{1,9}(\.[0-9]{1,6})?$"
_MONEY = re.compile(MONEY)

CENT = Decimal("0.01")


def is_money(text: str) -> bool:
    """Whether the text is an amount of money as the book writes it."""
    return _MONEY.fullmatch(text) is not None


def rounded_money(amount: "Fraction", step: Decimal = CENT) -> Decimal:
    """The amount to the nearest step, a half away from zero."""
    from fractions import Fraction

    steps = abs(amount) / Fraction(step)
    whole = Decimal(int(steps + Fraction(1, 2))) * step
    return whole if amount >= 0 else -whole


def shared(amounts: "Sequence[Fraction]", step: Decimal = CENT) -> list[Decimal]:
    """The amounts in whole steps that add up to their rounded sum.

    Each is rounded down, and the steps that are then missing go to those that lost most, the
    first of equals first: the largest-remainder rule (Hamilton's, from memory).
    """
    from fractions import Fraction

    total = rounded_money(sum(amounts, Fraction(0)), step)
    in_steps = [amount / Fraction(step) for amount in amounts]
    floors = [one.numerator // one.denominator for one in in_steps]
    missing = int((total / step).to_integral_value(ROUND_FLOOR)) - sum(floors)
    losers = sorted(range(len(amounts)), key=lambda k: (floors[k] - in_steps[k], k))
    for k in losers[:missing]:
        floors[k] += 1
    return [floor * step for floor in floors]
