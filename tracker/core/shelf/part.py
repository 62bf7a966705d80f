"""A part of the shelf: jars, blends and lots by id, as they stood at one moment."""

from collections.abc import Mapping

import msgspec

from tracker.core.facts.fields import About
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch, Thing, bottle_of, extract_of, whole


class ShelfPart(msgspec.Struct, frozen=True):
    """Jars, blends and lots by the id of what opened them, under the codes people see."""

    batches: Mapping[str, Batch]
    lots: Mapping[str, Lot]

    def thing(self, about: About) -> Thing | Lot | None:
        """What a fact is about, if it stands here."""
        lot = self.lots.get(about.jar)
        return thing_in(self.batches, about) if lot is None else lot


def thing_in(batches: Mapping[str, Batch], about: About) -> Thing | None:
    """The jar, blend, extract or bottle a fact is about, if it stands among these."""
    batch = batches.get(about.jar)
    if batch is None:
        return None
    if about.extract is None:
        return whole(batch)
    extract = batch.extract(about.extract)
    if extract is None:
        return None
    if about.bottle is None:
        return extract_of(batch, extract)
    bottle = extract.bottle(about.bottle)
    return None if bottle is None else bottle_of(batch, extract, bottle)
