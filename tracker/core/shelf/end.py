"""How a steep ended: pressed, split, joined, thrown out or given out."""

from typing import Literal, assert_never

import msgspec

from tracker.core.values.times import When


class PressedEnd(msgspec.Struct, frozen=True, tag="pressed"):
    """Its herb was pressed, and that gave an extract."""

    on: When
    extract: str
    how: Literal["pressed", "collected"] = "pressed"


class SplitEnd(msgspec.Struct, frozen=True, tag="split"):
    """All of it was shared out into other jars."""

    on: When
    event: str


class JoinedEnd(msgspec.Struct, frozen=True, tag="joined"):
    """All of it went into another jar, with that of others."""

    on: When
    into: str


class DiscardedEnd(msgspec.Struct, frozen=True, tag="discarded"):
    """Herb and menstruum were thrown out."""

    on: When
    event: str


class GivenEnd(msgspec.Struct, frozen=True, tag="given out"):
    """It left whole, with its herb, under a reference or none."""

    on: When
    event: str
    reference: str | None = None


End = PressedEnd | SplitEnd | JoinedEnd | DiscardedEnd | GivenEnd


def ended_word(end: End) -> str:
    """The same as people say it: a percolate is collected."""
    return end.how if isinstance(end, PressedEnd) else ended_how(end)


def ended_how(end: End) -> Literal["pressed", "split", "joined", "discarded", "given out"]:
    """How a steep ended, in a word."""
    match end:
        case PressedEnd():
            return "pressed"
        case SplitEnd():
            return "split"
        case JoinedEnd():
            return "joined"
        case DiscardedEnd():
            return "discarded"
        case GivenEnd():
            return "given out"
        case _:
            assert_never(end)
