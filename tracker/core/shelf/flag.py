"""What does not fit, kept and explained."""

import msgspec


class Flag(msgspec.Struct, frozen=True):
    """Something that does not fit, kept and explained: which event, and why.

    One that `asks` wants an answer of the maker's, and stands until there is one.
    """

    event: str
    why: str
    asks: bool = False
