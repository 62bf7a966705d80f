"""What holds some of a recalled lot and is on no hold."""

from collections.abc import Iterable, Sequence

from tracker.core.reckoning.flows.flow_graph import Node, forwards, graph_of, node_of
from tracker.core.reckoning.flows.lot_balance import accounts
from tracker.core.reckoning.flows.named_lots import key_of
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.extract import Extract
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.misfit import NotHeld
from tracker.core.shelf.thing import Batch, Thing, things
from tracker.core.values.times import When


def not_held(batches: Sequence[Batch], lots: Sequence[Lot]) -> list[Flag]:
    """What holds any of a recalled lot and is on no hold, each with its reason."""
    recalls = _recalls(batches, lots)
    if not recalls:
        return []
    graph, free = graph_of(batches, lots), _not_on_hold(batches, lots)
    flags = []
    for start, on in recalls.items():
        reached = {start, *(line.node for line in forwards(graph, start))}
        codes: dict[str, list[str]] = {}
        for _, jar_id, code in sorted(free[node] for node in reached if node in free):
            codes.setdefault(jar_id, []).append(code)
        for jar_id, named in codes.items():
            name = graph.names.get(start, start.id)
            flags.append(Flag(jar_id, NotHeld(tuple(named), name, on), asks=True))
    return flags


def _not_on_hold(batches: Iterable[Batch], lots: Sequence[Lot]) -> dict[Node, tuple[int, str, str]]:
    """What is on the shelf and on no hold: its place there, the id of its jar, and its code."""
    found = [
        (node_of(lot), lot.id, lot.code)
        for lot, one in accounts(lots, batches)
        if not one.is_used_up and not lot.on_hold
    ]
    every = (thing for batch in batches for thing in things(batch))
    found += [
        (node_of(thing), thing.batch.id, thing.code)
        for thing in every
        if is_there(thing) and not thing.on_hold
    ]
    return {node: (place, jar, code) for place, (node, jar, code) in enumerate(found)}


def is_there(thing: Thing) -> bool:
    """Whether there is any of it on the shelf, as a thing of its own."""
    if thing.extract is None:
        return thing.jar is not None and thing.jar.is_macerating
    return there_ml(thing.extract, thing) >= DROP_ML


def there_ml(extract: Extract, thing: Thing) -> float:
    """What is in a bottle, or in bulk of an extract."""
    return extract.volume_ml if thing.bottle is None else thing.bottle.volume_ml


def _recalls(batches: Iterable[Batch], lots: Sequence[Lot]) -> dict[Node, When]:
    """The lots called back and since when; one that only jars name as long as one is on hold."""
    found = {Node("lot", lot.id): lot.recalled.on for lot in lots if lot.recalled is not None}
    for batch in batches:
        hold = batch.hold
        if hold is not None and hold.named is not None:
            found.setdefault(Node("lot", key_of(hold.named)), hold.on)
    return found
