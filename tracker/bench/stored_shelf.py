"""What the read model holds of the shelf, each part of it read once while the book is open."""

from collections import defaultdict
from collections.abc import Collection, Iterable
from functools import cached_property
from typing import TYPE_CHECKING

from tracker.core.shelf.contents import Use
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch
from tracker.journal.model import read_model
from tracker.journal.model.read_model import AskedModel
from tracker.journal.model.recall_reach import Reach, read_reach

if TYPE_CHECKING:
    from tracker.core.reckoning.flows.may_hold import Taker

# Of so many lots the uses are looked up one by one; then all of them are read at once.
_LOTS_ALONE = 4


class StoredShelf:
    """Jars, blends and lots as they were when the book was opened: nothing admitted since."""

    def __init__(self, model: AskedModel) -> None:
        self._ask = model.ask
        self._uses: dict[str, dict[str, list[Use]]] = {}

    @cached_property
    def batches(self) -> dict[str, Batch]:
        """Every jar and blend by its id."""
        return {one.id: one for one in self._ask(read_model.batches)}

    @cached_property
    def live(self) -> dict[str, Batch]:
        """The jars and blends with anything still on the shelf, by id."""
        if "batches" in self.__dict__:
            return {one.id: one for one in self.batches.values() if one.is_live}
        return {one.id: one for one in self._ask(read_model.batches, live_only=True)}

    @cached_property
    def lots(self) -> dict[str, Lot]:
        """Every lot by its id."""
        return {one.id: one for one in self._ask(read_model.lots)}

    @cached_property
    def reach(self) -> Reach:
        """What may hold some of a lot called back."""
        return self._ask(read_reach)

    @cached_property
    def may_hold_recalled(self) -> tuple[dict[str, Batch], dict[str, Lot]]:
        """All of that by its id."""
        batches, lots = self._ask(read_model.may_hold_recalled)
        return {one.id: one for one in batches}, {one.id: one for one in lots}

    @cached_property
    def takers(self) -> "dict[str, Taker]":
        """What took from another thing or from a lot, by id, as far as it says from what."""
        from tracker.journal.model.flow_ends import takers

        return {one.id: one for one in self._ask(takers)}

    def batches_of(self, ids: Collection[str]) -> dict[str, Batch]:
        """Those of these that are jars or blends, by id."""
        return {one.id: one for one in self._ask(read_model.batches_of, ids)}

    def holds(self, one: str) -> bool:
        """Whether it knows of a jar, blend or lot."""
        return self._ask(lambda connection: connection.cards.get(one)) is not None

    @cached_property
    def codes(self) -> tuple[str, ...]:
        """The code of every jar and blend."""
        return tuple(self._ask(read_model.codes))

    def uses_of(self, lot: str) -> dict[str, list[Use]]:
        """Every use of a lot, by the jar or blend that made it."""
        if lot not in self._uses:
            if len(self._uses) == _LOTS_ALONE:
                return self._every_use.get(lot, {})
            self._uses[lot] = _by_lot(self._ask(read_model.batches_naming, lot)).get(lot, {})
        return self._uses[lot]

    @cached_property
    def _every_use(self) -> dict[str, dict[str, list[Use]]]:
        return _by_lot(self._ask(read_model.asked_about))


def _by_lot(batches: Iterable[Batch]) -> dict[str, dict[str, list[Use]]]:
    """Every use of a lot, by the id of the lot and of the jar or blend that made it."""
    found: dict[str, dict[str, list[Use]]] = defaultdict(lambda: defaultdict(list))
    for batch in batches:
        for use in batch.uses:
            if use.lot is not None:
                found[use.lot][batch.id].append(use)
    return found
