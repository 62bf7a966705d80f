"""The whole shelf."""

import msgspec

from tracker.core.shelf.flag import Flag
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot


class Shelf(msgspec.Struct, frozen=True):
    """Every jar by the id of its charge, every lot, and what fits nowhere, with a reason."""

    jars: dict[str, Jar]
    lots: dict[str, Lot]
    unplaced: tuple[Flag, ...] = ()
