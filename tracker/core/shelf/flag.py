"""What does not fit, kept and explained."""

import msgspec

from tracker.core.shelf.misfit import Misfit


class Flag(msgspec.Struct, frozen=True):
    """Something that does not fit: which event, and how.

    One that `asks` needs an answer of the maker's, and stands until there is one.
    """

    event: str
    misfit: Misfit
    asks: bool = False
