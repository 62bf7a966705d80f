"""Where a rising function reaches zero."""

from collections.abc import Callable


def rising_root(function: Callable[[float], float], low: float, high: float) -> float:
    """Where a function that only rises reaches zero, to the last digit a float holds.

    Halving is slower than Newton's method and cannot miss; it takes some sixty steps.

    Args:
        function: rising between `low` and `high`.
        low: where to begin; the answer if the function is already above zero there.
        high: where to end; the answer if the function is still below zero there.

    Returns:
        The argument at which the function crosses zero.
    """
    while True:
        middle = (low + high) / 2.0
        if not low < middle < high:
            return high if abs(function(high)) < abs(function(low)) else low
        if function(middle) < 0.0:
            low = middle
        else:
            high = middle
