"""What is not on hold with a lot called back, held to what the whole shelf says of it."""

from collections.abc import Iterable, Sequence

from tracker.core.reckoning.flows.not_on_hold import not_held
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch


def same_recalls(found: Iterable[Flag], batches: Sequence[Batch], lots: Sequence[Lot]) -> None:
    """Nothing is left out that was not looked at."""
    assert sorted(found, key=repr) == sorted(not_held(batches, lots), key=repr)
