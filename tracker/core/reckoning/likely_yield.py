"""What a pressing is likely to give, estimated from the maker's own earlier ones.

A herb's marc holds back so many ml per gram. The handbook's band for a method counts as a
few pressings; the maker's own move it, the more of them the further.
"""

from collections.abc import Iterable, Sequence
from math import fsum, sqrt
from typing import Final, Literal

import msgspec

from tracker.core.reckoning import amounts
from tracker.core.reckoning.student_t import quantile
from tracker.core.shelf.jar import Jar

Method = Literal["by hand", "in a press"]
METHODS: Final[tuple[Method, ...]] = ("by hand", "in a press")
HANDBOOK: Final[dict[Method, tuple[float, float]]] = {
    "by hand": amounts.HELD_BY_HAND,
    "in a press": amounts.HELD_IN_PRESS,
}

# How many of the maker's own pressings weigh as much as the handbook: a choice, no source.
HANDBOOK_WEIGHT: Final = 4

# The least pressings that make a band where the handbook has none (fresh herb).
LEAST_ALONE: Final = 3

# What a band claims: the next pressing falls in it 9 times of 10. The handbook's bands state no
# claim and are read so as well: a choice, no source.
CLAIM: Final = 0.9

# A band is never narrower than this either way, ml per g: jugs and scales of a kitchen.
_LEAST_HALF_BAND: Final = 0.05

_WEIGHED = ("weighed", "measured")
# A share of what was weighed is as well known.
_SHARED = (*_WEIGHED, "reckoned")


class HoldBack(msgspec.Struct, frozen=True):
    """What marc holds back, ml per gram of herb as charged, and from how many pressings.

    The next pressing lies between `low` and `high` with a chance of `CLAIM`; they are below 0
    where a fresh herb gave more than was reckoned to be in the jar.
    """

    low_ml_per_g: float
    high_ml_per_g: float
    own: int


class Likely(msgspec.Struct, frozen=True):
    """What pressing by one method is likely to give, ml, and on what it rests."""

    method: Method
    low_ml: float
    high_ml: float
    own: int


_METHOD_OF: Final[dict[str, Method]] = {
    "hand": "by hand",
    "cloth": "by hand",
    "ricer": "by hand",
    "press": "in a press",
    "screw press": "in a press",
    "hydraulic press": "in a press",
}


def method_of(how: str | None) -> Method | None:
    """The method a pressing was done by; None where nobody said, or by one of the maker's own.

    Only what was named outright counts: "hand, pressed through cloth" is no screw press, and
    percolation is no pressing by hand.
    """
    words = (how or "").lower().strip()
    return _METHOD_OF.get(words.removeprefix("by ").removeprefix("a "))


def hold_back(held: Sequence[float], handbook: tuple[float, float] | None) -> HoldBack | None:
    """The likely hold-back after these pressings, starting from the handbook's band.

    Args:
        held: ml per g of each earlier pressing; their order does not matter.
        handbook: low and high ml per g; None where there is none.

    Returns:
        Where the next pressing falls with a chance of `CLAIM`: Student's t, for a normal
        distribution of unknown mean and variance. The handbook stands as `HANDBOOK_WEIGHT`
        pressings, so spread that with none of one's own the band is the handbook's. Without a
        handbook the pressings alone; None with fewer than `LEAST_ALONE`.

    Source:
        Gelman and others, Bayesian Data Analysis, 3rd edition, sections 2.8 and 3.3: the
        normal-inverse-chi-squared update and its posterior predictive (from memory).
    """
    own = len(held)
    if handbook is None:
        return _alone(held) if own >= LEAST_ALONE else None
    low, high = handbook
    if own == 0:
        return HoldBack(low, high, 0)
    weight, first = HANDBOOK_WEIGHT, (low + high) / 2
    mean_own, together = fsum(held) / own, weight + own
    mean = (weight * first + own * mean_own) / together
    squares = weight * handbook_spread(handbook) ** 2
    squares += fsum((one - mean_own) ** 2 for one in held)
    squares += weight * own / together * (mean_own - first) ** 2
    return _band(mean, sqrt(squares / together), together, together, own)


def handbook_spread(handbook: tuple[float, float]) -> float:
    """The standard deviation that makes the handbook's band hold `CLAIM` of all pressings."""
    low, high = handbook
    return (high - low) / 2 / _reach(HANDBOOK_WEIGHT, HANDBOOK_WEIGHT)


def _alone(held: Sequence[float]) -> HoldBack:
    own = len(held)
    mean = fsum(held) / own
    spread = sqrt(fsum((one - mean) ** 2 for one in held) / (own - 1))
    return _band(mean, spread, own, own - 1, own)


def _band(mean: float, spread: float, weight: int, degrees: int, own: int) -> HoldBack:
    half = max(spread * _reach(weight, degrees), _LEAST_HALF_BAND)
    return HoldBack(mean - half, mean + half, own)


def _reach(weight: int, degrees: int) -> float:
    """How many standard deviations either way the next pressing lies, by how much is known."""
    return quantile((1 + CLAIM) / 2, degrees) * sqrt(1 + 1 / weight)


def held_before(jar: Jar, others: Iterable[Jar], method: Method) -> list[float]:
    """What the marc of each earlier jar of the same herb, form, way and method held, ml per g.

    Left out are jars of which the herb was not weighed or the yield not measured.
    """
    return [
        held
        for one in others
        if one.id != jar.id
        and one.herb.casefold() == jar.herb.casefold()
        and one.form == jar.form
        and one.steep_way == jar.steep_way
        and one.herb_known in _SHARED
        and (pressing := one.pressing) is not None
        and pressing.known in _WEIGHED
        and method_of(pressing.how) == method
        and (held := amounts.held_ml_per_g(one)) is not None
    ]


def likely_ml(jar: Jar, others: Iterable[Jar], method: Method) -> Likely | None:
    """What pressing this jar by one method is likely to give.

    Args:
        jar: the jar, its herb weighed.
        others: jars of the same book; those without usable figures are skipped.
        method: by hand or in a press.

    Returns:
        A band within nothing and all the liquid there is; None where nothing is known.
    """
    if jar.marc_g is None:
        return None
    macerates = jar.steep_way == "maceration"
    handbook = HANDBOOK[method] if jar.form == "dried" and macerates else None
    held = hold_back(held_before(jar, others, method), handbook)
    if held is None:
        return None
    there_ml = amounts.menstruum_ml(jar)
    bound_ml = amounts.hard_bound_ml(jar) or there_ml
    low_ml = max(there_ml - jar.marc_g * held.high_ml_per_g, 0.0)
    high_ml = max(there_ml - jar.marc_g * held.low_ml_per_g, 0.0)
    return Likely(method, min(low_ml, bound_ml), min(high_ml, bound_ml), held.own)


def likely_by_method(jar: Jar, others: Sequence[Jar], how: str | None = None) -> tuple[Likely, ...]:
    """What pressing is likely to give by one method, or by each if none is named."""
    named = method_of(how)
    methods = METHODS if named is None else (named,)
    found = (likely_ml(jar, others, method) for method in methods)
    return tuple(one for one in found if one is not None)


def is_odd(jar: Jar, pressed_ml: float, likely: Sequence[Likely]) -> bool:
    """Whether a yield deserves a second look.

    It does outside every band by more than a twentieth of what was poured; where there is no
    band, below half of what was poured.
    """
    poured_ml = amounts.poured_ml(jar)
    if not likely:
        return pressed_ml < poured_ml / 2
    slack_ml = 0.05 * poured_ml
    low_ml = min(one.low_ml for one in likely)
    high_ml = max(one.high_ml for one in likely)
    return not low_ml - slack_ml <= pressed_ml <= high_ml + slack_ml


def if_ounces_ml(
    pressed_ml: float, jar: Jar, likely: Sequence[Likely], ounce_ml: float
) -> float | None:
    """The yield if its number was meant in the other unit and would then not be odd.

    Args:
        pressed_ml: the odd yield as it was understood.
        jar: the jar that was pressed.
        likely: the bands that hold for it.
        ounce_ml: ml of the fluid ounce in use.

    Returns:
        Millilitres as ounces, or as millilitres where ounces were understood; None if
        neither would be usual.
    """
    bound_ml = amounts.hard_bound_ml(jar)
    for meant_ml in (pressed_ml * ounce_ml, pressed_ml / ounce_ml):
        is_possible = bound_ml is None or meant_ml <= bound_ml
        if is_possible and not is_odd(jar, meant_ml, likely):
            return meant_ml
    return None
