"""What may hold some of a lot called back: by what took from what, whatever the days say.

More than `not_on_hold` finds, and never less, so that it needs to look at nothing else.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator

import msgspec

from tracker.core.reckoning.flows.named_lots import key_of
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch


class _From(msgspec.Struct, gc=False):
    jar: str


class _Used(msgspec.Struct, gc=False):
    lot: str | None = None


class _Filled(msgspec.Struct):
    sources: tuple[_From, ...] = ()


class _Pressed(msgspec.Struct):
    sources: tuple[_From, ...] = ()
    bottles: tuple[_Filled, ...] = ()


class Taker(msgspec.Struct):
    """A jar, blend or lot as far as it says what it was taken from; fields are called as theirs."""

    id: str
    their_lot: str | None = None
    parent: _From | None = None
    uses: tuple[_Used, ...] = ()
    lots: tuple[str, ...] = ()
    sources: tuple[_From, ...] = ()
    pressed: tuple[_Pressed, ...] = msgspec.field(default=(), name="extracts")
    liquid: _Pressed | str | None = None  # the extract of a blend; of a lot what liquid it is

    @property
    def extracts(self) -> tuple[_Pressed, ...]:
        """Its extracts, as far as they say what went into them."""
        return (self.liquid,) if isinstance(self.liquid, _Pressed) else self.pressed


def called_back(every: Iterable[Batch | Lot]) -> set[str]:
    """The lots that are called back: the ids of lots, and the keys of those only jars name."""
    found = set()
    for one in every:
        if isinstance(one, Lot):
            if one.recalled is not None:
                found.add(one.id)
        elif one.hold is not None and one.hold.named is not None:
            found.add(key_of(one.hold.named))
    return found


def reached_from(
    starts: Iterable[str], every: Iterable[Batch | Lot | Taker]
) -> tuple[set[str], set[str]]:
    """What of these took from any of the starts, or from what took of them.

    Returns:
        Their ids, and what they and the starts are known by to those that take from them.
    """
    takers: dict[str, list[Batch | Lot | Taker]] = defaultdict(list)
    for one in every:
        for key in {one.id, *_taken_from(one)}:
            takers[key].append(one)
    ids, keys = set[str](), set(starts)
    todo = list(keys)
    while todo:
        for one in takers.get(todo.pop(), ()):
            ids.add(one.id)
            fresh = _known_by(one) - keys
            keys |= fresh
            todo += fresh
    return ids, keys


def made_of(starts: Iterable[str], every: Iterable[Batch | Lot | Taker]) -> set[str]:
    """What the starts may be made of, as it is known to what took from it; the starts as well."""
    givers: dict[str, list[Batch | Lot | Taker]] = defaultdict(list)
    for one in every:
        for key in _known_by(one):
            givers[key].append(one)
    keys = set(starts)
    todo = list(keys)
    while todo:
        for one in givers.get(todo.pop(), ()):
            fresh = {one.id, *_taken_from(one)} - keys
            keys |= fresh
            todo += fresh
    return keys


def naming(keys: Collection[str], every: Iterable[Batch | Lot | Taker]) -> set[str]:
    """The ids of those that name a lot by any of these keys."""
    jars = [one for one in every if isinstance(one, Jar | Taker)]
    return {one.id for one in jars if any(key_of(name) in keys for name in one.lots)}


def _known_by(one: Batch | Lot | Taker) -> set[str]:
    """What those that take from it call it: a lot goes by its supplier's number as well."""
    return {one.id, *_number_of(one)} if isinstance(one, Lot | Taker) else {one.id}


def _number_of(lot: Lot | Taker) -> list[str]:
    return [] if lot.their_lot is None else [key_of(lot.their_lot)]


def _taken_from(one: Batch | Lot | Taker) -> Iterator[str]:
    """What it was taken from; of a lot its number too, since all of one number belong together."""
    if isinstance(one, Lot | Taker):
        yield from _number_of(one)
        if one.parent is not None:
            yield one.parent.jar
    if isinstance(one, Lot):
        return
    yield from (use.lot for use in one.uses if use.lot is not None)
    if isinstance(one, Jar | Taker):
        yield from (key_of(name) for name in one.lots)
        yield from (flow.jar for flow in one.sources)
    for extract in one.extracts:
        yield from (flow.jar for flow in extract.sources)
        yield from (flow.jar for bottle in extract.bottles for flow in bottle.sources)
