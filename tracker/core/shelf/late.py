"""A use of something that may have been past its date: what it is held against."""

from datetime import date

import msgspec

from tracker.core.shelf.spell import Spell


class Late(msgspec.Struct, frozen=True):
    """The day something was used, its last good day by its parts, and how long it was weak.

    Whether it was past its date is the practice's to say: `core/reckoning/keeps.py`.
    """

    on: date
    last: date | None
    spells: tuple[Spell, ...] = ()
