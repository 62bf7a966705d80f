"""Ways of making, in words."""

from typing import TYPE_CHECKING, Final

from tracker.core.practice.practice import Way

if TYPE_CHECKING:
    from tracker.core.reckoning.double_extract import NextOfDouble

_NAMES: Final[dict[Way, str]] = {
    "maceration": "maceration",
    "percolation": "percolation",
    "double": "double extract",
    "simmered": "simmered",
}
OF_ONE_HERB: Final = "two extracts of one herb"


def way_name(way: Way) -> str:
    """`double extract`, `percolation`."""
    return _NAMES[way]


def press_verb(way: Way) -> str:
    """What is done when its time has come: a percolate is collected, what was simmered strained."""
    return {"percolation": "collect", "simmered": "strain"}.get(way, "press")


def pressed_word(way: Way | None) -> str:
    """What it then was: pressed, collected or strained."""
    return {"percolation": "collected", "simmered": "strained"}.get(way or "", "pressed")


def way_said(way: Way | None, steep_way: Way | None) -> str | None:
    """How a thing is made, with its own steep where that is another; None of a plain maceration.

    `double extract`, and of the second of the two `double extract, simmered`.
    """
    own = [one for one in dict.fromkeys((way, steep_way)) if one not in (None, "maceration")]
    return ", ".join(way_name(one) for one in own if one is not None) or None


def next_of_double_said(found: "NextOfDouble") -> str:
    """What is next of a double extract, and by which verb."""
    if found == "steep again":
        return "pour water on the same marc (steep-again), press that, then blend the two"
    return f"blend the two: they are {OF_ONE_HERB}"
