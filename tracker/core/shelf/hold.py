"""Looks at a thing, and what keeps it from being given out."""

import msgspec

from tracker.core.values.times import When


class Look(msgspec.Struct, frozen=True):
    """The last look at a thing."""

    on: When
    verdict: str
    signs: tuple[str, ...] = ()
    note: str | None = None


class Hold(msgspec.Struct, frozen=True):
    """Why nothing of a thing is given out, since when, and which event says so."""

    event: str
    on: When
    why: str
