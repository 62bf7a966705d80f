"""The whole shelf."""

import msgspec

from tracker.core.shelf.blend import Blend
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch


class Shelf(msgspec.Struct, frozen=True):
    """Every jar, blend and lot by the id of what opened it, and the flags of nothing in force."""

    jars: dict[str, Jar]
    blends: dict[str, Blend]
    lots: dict[str, Lot]
    unplaced: tuple[Flag, ...] = ()

    @property
    def batches(self) -> list[Batch]:
        """Every jar, then every blend."""
        return [*self.jars.values(), *self.blends.values()]
