"""What the read model holds of the shelf, each part of it read once while the book is open."""

import sqlite3
from collections import defaultdict
from functools import cached_property

from tracker.core.shelf.contents import Use
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch
from tracker.journal import read_model


class StoredShelf:
    """Jars, blends and lots as they were when the book was opened: nothing admitted since."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._connection = connection

    @cached_property
    def batches(self) -> dict[str, Batch]:
        """Every jar and blend by its id."""
        return {one.id: one for one in read_model.batches(self._connection)}

    @cached_property
    def lots(self) -> dict[str, Lot]:
        """Every lot by its id."""
        return {one.id: one for one in read_model.lots(self._connection)}

    @cached_property
    def codes(self) -> tuple[str, ...]:
        """The code of every jar and blend."""
        return tuple(read_model.codes(self._connection))

    @cached_property
    def uses(self) -> dict[str, dict[str, list[Use]]]:
        """Every use of a lot, by the id of the lot and of the jar or blend that made it."""
        found: dict[str, dict[str, list[Use]]] = defaultdict(lambda: defaultdict(list))
        for batch in self.batches.values():
            for use in batch.uses:
                if use.lot is not None:
                    found[use.lot][batch.id].append(use)
        return found
