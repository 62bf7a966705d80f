"""What came into a thing from another, and what was given out of it."""

import msgspec

from tracker.core.shelf.contents import Contents
from tracker.core.values.times import When


class Flow(msgspec.Struct, frozen=True, omit_defaults=True, gc=False):
    """Where something of a thing came from: a lot, a jar, an extract or a bottle."""

    event: str
    how: str  # charged, topped up, split, joined, recharged, blended, refilled, dried …
    on: When
    jar: str  # or the lot
    extract: str | None = None
    bottle: int | None = None
    ml: float | None = None
    g: float | None = None


class Given(msgspec.Struct, frozen=True, omit_defaults=True, gc=False):
    """So much given out, when and under which reference.

    `made` is what it was made of, where what it came out of changed since.
    """

    event: str
    on: When
    ml: float
    reference: str | None = None
    bottle: int | None = None
    made: Contents | None = None
