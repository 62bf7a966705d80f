"""A pressing outside the band that would be usual: what was perhaps meant."""

from collections.abc import Callable, Iterable, Sequence

import msgspec

from tracker.core.reckoning.likely_yield import Likely, if_ounces_ml, is_odd, likely_by_method
from tracker.core.shelf.extract import Extract
from tracker.core.shelf.jar import Jar


class OddYield(msgspec.Struct, frozen=True):
    """What would be usual, what it is if ounces were meant, and which jars it would suit.

    `likely` is empty where nothing is known of the herb but that so little is odd.
    """

    likely: tuple[Likely, ...]
    in_ounces_ml: float | None
    suits: tuple[str, ...]


def odd_yield(
    jar: Jar,
    extract: Extract,
    alike: Sequence[Jar],
    others: Callable[[], Iterable[Jar]],
    ounce_ml: float,
) -> OddYield | None:
    """What to ask of an unusual pressing; None of a usual one.

    Args:
        jar: the jar after the pressing.
        extract: what the pressing opened.
        alike: jars of the same herb that were pressed before.
        others: every jar on the shelf; asked for only where the pressing is odd.
        ounce_ml: the maker's fluid ounce.
    """
    likely = likely_by_method(jar, alike, extract.how)
    if not is_odd(jar, extract.pressed_ml, likely):
        return None
    meant_ml = if_ounces_ml(extract.pressed_ml, jar, likely, ounce_ml)
    return OddYield(tuple(likely), meant_ml, tuple(_suited(jar, extract, others())))


def _suited(jar: Jar, extract: Extract, others: Iterable[Jar]) -> list[str]:
    """The codes of jars still to be pressed, of which such a yield would be usual."""
    return [
        other.code
        for other in others
        if other.is_macerating
        and other.id != jar.id
        and (likely := likely_by_method(other, (), extract.how))
        and not is_odd(other, extract.pressed_ml, likely)
    ]
