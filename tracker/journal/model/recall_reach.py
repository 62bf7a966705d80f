"""What may hold some of a lot called back, noted while any lot is.

Asking then looks at that alone, however many jars there ever were. What was noted is only added
to, until another lot is called back or something joins from before: then every state is read.
"""

from collections.abc import Callable, Collection, Iterable

import msgspec

from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch
from tracker.journal.model.cards import Card
from tracker.journal.model.sealed_model import RECALL_REACH, SealedModel

# Without any of these a state takes from nothing.
_TAKES = (b'"jar":"', b'"lot":"', b'"lots":["', b'"their_lot":"')


class Reach(msgspec.Struct, array_like=True, frozen=True):
    """What may hold some of a lot called back.

    Attributes:
        starts: the lots called back, by their ids or the keys of their names.
        keys: those, and what all that took of them is known by.
        places: where the cards of all of it are, in order.
    """

    starts: frozenset[str] = frozenset()
    keys: frozenset[str] = frozenset()
    places: tuple[int, ...] = ()


NONE = Reach()
_REACH = msgspec.msgpack.Decoder(Reach)

StateOf = Callable[[Card], Batch | Lot]


def read_reach(model: SealedModel) -> Reach:
    """What is noted."""
    held = model.aside(RECALL_REACH)
    return _REACH.decode(held) if held else NONE


def within_reach(model: SealedModel) -> list[Card]:
    """The cards of all that may hold some of a lot called back, and of what is on hold with one."""
    recalled = [one for one in model.cards.front() if one.recalled]
    found = {one.at: one for one in (*recalled, *model.cards.at(read_reach(model).places))}
    return [found[at] for at in sorted(found)]


def takes(state: bytes) -> bool:
    """Whether a state, as it is kept, says that it took from anything."""
    return any(mark in state for mark in _TAKES)


def note_reach(
    model: SealedModel,
    kept: Collection[str],
    new_from: int,
    state_of: StateOf,
) -> None:
    """Note it again after some states were kept.

    Args:
        model: a model that is being written.
        kept: the ids of those whose states were kept.
        new_from: where the cards begin that were not there before.
        state_of: gives the state of a card.
    """
    cards, known = model.cards, read_reach(model)
    recalled = [one for one in cards.front() if one.recalled]
    if not recalled:
        _put(model, known, NONE)
        return
    from tracker.core.reckoning.flows.may_hold import called_back

    starts = called_back(map(state_of, recalled))

    def reach_of(keys: Iterable[str], some: Iterable[Card]) -> Reach:
        return _reach_of(starts, keys, _taking(some, starts), state_of)

    if starts <= known.starts:
        some = (one for each in kept if (one := cards.get(each)) is not None)
        more = reach_of(known.keys, some)
        places = {*known.places, *more.places}
        if all(at >= new_from for at in places.difference(known.places)):
            _put(model, known, Reach(known.starts, more.keys, tuple(sorted(places))))
            return
    _put(model, known, reach_of(starts, cards.every()))


def _put(model: SealedModel, known: Reach, reach: Reach) -> None:
    if reach != known:
        model.put_aside(RECALL_REACH, reach)


def _taking(cards: Iterable[Card], starts: Collection[str]) -> list[Card]:
    """Those that took from anything, or are where it starts."""
    return [one for one in cards if one.kind and (one.takes or one.id in starts)]


def _reach_of(
    starts: Iterable[str], keys: Iterable[str], cards: Iterable[Card], state_of: StateOf
) -> Reach:
    from tracker.core.reckoning.flows.may_hold import reached_from

    some = {one.id: one for one in cards}
    ids, known_by = reached_from(keys, map(state_of, some.values()))
    places = tuple(sorted(some[one].at for one in ids))
    return Reach(frozenset(starts), frozenset(known_by), places)
