"""What anything of a thing may be in and what it may be made of, without all the rest decoded."""

from collections.abc import Collection

import msgspec

from tracker.core.reckoning.flows.may_hold import Taker, made_of, naming, reached_from
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch
from tracker.journal.model import read_model
from tracker.journal.model.sealed_model import SealedModel

_TAKER = msgspec.json.Decoder(Taker)


def flowing(connection: SealedModel, starts: Collection[str]) -> tuple[list[Batch], list[Lot]]:
    """The jars and blends that a graph of what flows into and out of some things needs.

    Args:
        connection: an open read model.
        starts: their ids, or the keys of lots that only jars name.

    Returns:
        Those, more of them perhaps, and every lot.
    """
    every = takers(connection)
    ids = made_of(starts, every)
    ids |= naming(ids, every) | reached_from(starts, every)[0]
    return read_model.batches_of(connection, ids), read_model.lots(connection)


def takers(connection: SealedModel) -> list[Taker]:
    """Whatever took from another thing, as far as it says from what."""
    cards = [one for one in connection.cards.every() if one.kind and one.takes]
    return [_TAKER.decode(connection.part("states", one.at, one.state)) for one in cards]
