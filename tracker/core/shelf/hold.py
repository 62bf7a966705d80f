"""Looks at a thing, and what keeps it from being given out."""

from collections.abc import Iterable
from datetime import date
from typing import Final, Literal

import msgspec

from tracker.core.values.times import When

# By a lot that was called back, by `hold`, because its history is not known, by a look.
HoldKind = Literal["recall", "word", "found", "look"]
GRAVEST: Final[tuple[HoldKind, ...]] = ("recall", "word", "found", "look")


class Look(msgspec.Struct, frozen=True):
    """The last look at a thing, and the day to look again where it named one.

    `lifted_on`, `lifted_why`: since when and why it was on hold, where this look lifted that.
    """

    on: When
    verdict: str
    signs: tuple[str, ...] = ()
    note: str | None = None
    again_on: date | None = None
    lifted_on: When | None = None
    lifted_why: str | None = None


class Hold(msgspec.Struct, frozen=True):
    """What keeps a thing from being given out: which event, since when, why, and of what kind.

    `named`: the lot that was called back, where it is one that only jars name.
    `writer`, `number`: whose line it is and its place among theirs.
    """

    event: str
    on: When
    why: str
    kind: HoldKind
    named: str | None = None
    writer: str = ""
    number: int = 0


def graver(standing: Hold | None, other: Hold | None) -> Hold | None:
    """The graver of two holds; of two alike the other."""
    if standing is None or other is None:
        return standing or other
    return other if GRAVEST.index(other.kind) <= GRAVEST.index(standing.kind) else standing


def gravest(holds: Iterable[Hold | None]) -> Hold | None:
    """The gravest of some holds; of those alike the first."""
    known = [one for one in holds if one is not None]
    return min(known, key=lambda one: GRAVEST.index(one.kind), default=None)
