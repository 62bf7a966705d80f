"""What holds any of a recalled lot: what is still on the shelf, and what left."""

from collections.abc import Iterable, Mapping, Sequence

import msgspec
from msgspec.structs import replace

from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import Discarded, Restored
from tracker.core.facts.fields import About
from tracker.core.reckoning.flows.flow_graph import (
    Edge,
    Graph,
    Line,
    Node,
    forwards,
    graph_of,
    is_in,
    node_of,
)
from tracker.core.reckoning.flows.lot_balance import Account, accounts
from tracker.core.reckoning.flows.lot_shares import Balance, LotShares
from tracker.core.reckoning.flows.not_on_hold import is_there, there_ml
from tracker.core.shelf.contents import portion
from tracker.core.shelf.extract import Extract
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch, Thing, things
from tracker.core.values.times import When

_NONE_LATE: Mapping[str, int] = {}
# A flow out of the shelf by the sum that it counts in.
_SUM_OF = {"dispensed": "given", "given out": "given"}


class Here(msgspec.Struct, frozen=True):
    """Something on the shelf that holds any of a lot, and how much of it there is.

    `of_lot` is how much of the lot it stands for, g or ml as that came in; None: not known.
    """

    code: str
    kind: str
    jar: str
    ml: float | None
    g: float | None
    on_hold: bool
    of_lot: float | None = None


class Left(msgspec.Struct, frozen=True):
    """Something that held any of a lot and is not on the shelf: given or thrown out, or missing."""

    event: str
    code: str
    how: str
    on: When
    ml: float | None = None
    g: float | None = None
    reference: str | None = None
    of_lot: float | None = None
    days_late: int = 0  # past its last good day when it was given out


class Reach(msgspec.Struct, frozen=True):
    """What holds any of a lot: what is on the shelf, what left it, and where all of it is.

    Attributes:
        unit: what `of_lot` is counted in: `g` or `ml`.
        balance: None of a lot that is not in the book.
    """

    here: tuple[Here, ...]
    left: tuple[Left, ...]
    unit: str
    balance: Balance | None


def holders(lines: Iterable[Line]) -> tuple[str, ...]:
    """The ids of every jar and lot that holds or held any of what the outline begins at."""
    kinds = ("jar", "extract", "bottle", "lot")
    return tuple(dict.fromkeys(line.node.id for line in lines if line.node.kind in kinds))


def reach_of(
    start: Node,
    batches: Sequence[Batch],
    lots: Sequence[Lot],
    entries: Iterable[Entry],
    late: Mapping[str, int] = _NONE_LATE,
) -> Reach:
    """Where all of a lot is and went.

    Args:
        start: the lot, in the book or named at a charge.
        batches: every jar and blend, as they stand.
        lots: every lot.
        entries: those in force of every jar and lot it went into, for what was thrown out.
        late: of each event that used something past its date, by how many days.
    """
    graph = graph_of(batches, lots)
    lines = forwards(graph, start)
    shares = LotShares(start, batches, lots)
    told = accounts(lots, batches)
    here = still_here(batches, told, lines, shares)
    gone = left(graph, lines, entries, batches, shares, late)
    of_lots = {Node("lot", lot.id) for lot in lots}
    inside = [one.of_lot for one in here if one.kind != "lot"]
    by_how: dict[str, list[float | None]] = {"given": [], "discarded": [], "missing": []}
    for node, one in gone:
        if node not in of_lots:  # the account of a lot has what it lost itself
            by_how[_SUM_OF.get(one.how, one.how)].append(one.of_lot)
    lot = next((one for one in lots if one.id == start.id), None)
    return Reach(
        tuple(here),
        tuple(one for _, one in gone),
        "g" if lot is None else lot.unit,
        shares.balance(told, inside, by_how),
    )


def still_here(
    batches: Iterable[Batch],
    lots: Iterable[tuple[Lot, Account]],
    lines: Sequence[Line],
    shares: LotShares,
) -> list[Here]:
    """What is on the shelf and holds any of it: the lot, dried lots, herb in jars, bottles."""
    reached = {shares.start, *(line.node for line in lines)}
    found = [
        _here(thing, shares)
        for batch in batches
        for thing in things(batch)
        if node_of(thing) in reached
    ]
    in_store = [
        _in_store(lot, one, shares)
        for lot, one in lots
        if Node("lot", lot.id) in reached and not one.is_used_up
    ]
    return [*in_store, *(one for one in found if one is not None)]


def _in_store(lot: Lot, one: Account, shares: LotShares) -> Here:
    ml, g = (None, one.left) if lot.liquid is None else (one.left, None)
    each = shares.family.get(lot.id)
    of_lot = None if each is None else each * one.left
    return Here(lot.code, "lot", lot.id, ml, g, lot.on_hold, of_lot)


def _here(thing: Thing, shares: LotShares) -> Here | None:
    if not is_there(thing):
        return None
    jar, extract = thing.jar, thing.extract
    if extract is None:
        assert jar is not None
        made = jar.contents
        part = shares.part(made)
        return Here(thing.code, "jar", jar.id, made.volume_ml, jar.marc_g, thing.on_hold, part)
    in_it_ml = there_ml(extract, thing)
    part = shares.part(portion(thing.made, in_it_ml))
    return Here(thing.code, thing.kind, thing.batch.id, in_it_ml, None, thing.on_hold, part)


def left(
    graph: Graph,
    lines: Sequence[Line],
    entries: Iterable[Entry],
    batches: Iterable[Batch],
    shares: LotShares,
    late: Mapping[str, int] = _NONE_LATE,
) -> list[tuple[Node, Left]]:
    """What left the shelf with any of it and what it left, the earliest first.

    Args:
        graph: where the lines come from.
        lines: the outline forwards from the lot.
        entries: those in force of every jar and lot in it, for what was thrown out.
        batches: every jar and blend.
        shares: how much of the lot is in what.
        late: of each event that used something past its date, by how many days.
    """
    by_id = {one.id: one for one in batches}
    edges = [line.edge for line in lines if line.node.kind in ("reference", "given", "missing")]
    # What went missing of the lot itself flows out of where the outline begins.
    found = [
        (
            edge.source,
            replace(_given(graph, edge, by_id, shares), days_late=late.get(edge.event or "", 0)),
        )
        for edge in edges
    ]
    told = list(entries)
    back = {one.fact.discard for one in told if isinstance(one.fact, Restored)}
    for one in told:
        if isinstance(one.fact, Discarded) and one.id not in back:
            place = at(one.fact.about, graph)
            if place == shares.start or is_in(lines, place, one.when):
                found.append((place, _thrown(graph, one, one.fact, place, by_id, shares)))
    return sorted(found, key=lambda pair: (pair[1].on.start, pair[1].code, pair[1].event))


def _given(graph: Graph, edge: Edge, by_id: Mapping[str, Batch], shares: LotShares) -> Left:
    reference = edge.into.id if edge.into.kind == "reference" else None
    code = graph.names[edge.source]
    part = None
    if edge.source.kind == "lot":
        each = shares.family.get(edge.source.id)
        part = None if each is None else each * (edge.ml or edge.g or 0.0)
    elif edge.ml is not None and (extract := _extract_at(edge.source, by_id)) is not None:
        gone = next(
            (one for one in (*extract.given, *extract.missing) if one.event == edge.event), None
        )
        if gone is not None:
            own = extract.bottle(gone.bottle) if gone.bottle is not None else None
            made = gone.made or (own.made if own is not None else None) or extract.made
            part = shares.part(portion(made, gone.ml))
    elif edge.source.kind == "jar" and (batch := by_id.get(edge.source.id)) is not None:
        part = shares.part(batch.contents)  # it left whole
    return Left(edge.event or "", code, edge.how, edge.on, edge.ml, edge.g, reference, part)


def _thrown(
    graph: Graph,
    entry: Entry,
    fact: Discarded,
    place: Node,
    by_id: Mapping[str, Batch],
    shares: LotShares,
) -> Left:
    ml, g, part = fact.volume_ml, fact.herb_g, None
    extract, batch = _extract_at(place, by_id), by_id.get(place.id)
    if place.kind == "lot":
        each, much = shares.family.get(place.id), g if ml is None else ml
        part = None if each is None or much is None else each * much
    elif extract is not None and entry.id in extract.discards:
        ml = extract.discards[entry.id]
        thrown = extract.thrown.get(entry.id)
        part = shares.part(portion(extract.made if thrown is None else thrown.made, ml))
    elif isinstance(batch, Jar) and place.kind == "jar":
        ml, g = batch.contents.volume_ml, batch.marc_g
        part = shares.part(batch.contents)
    code = graph.names.get(place, entry.subject)
    return Left(entry.id, code, "discarded", entry.when, ml, g, None, part)


def _extract_at(node: Node, by_id: Mapping[str, Batch]) -> Extract | None:
    batch = by_id.get(node.id)
    if batch is None or node.extract is None:
        return None
    return batch.extract(node.extract)


def at(about: About, graph: Graph) -> Node:
    """The node of the thing an event names."""
    if about.extract is None:
        lot = Node("lot", about.jar)
        return lot if lot in graph.names else Node("jar", about.jar)
    if about.bottle is None:
        return Node("extract", about.jar, about.extract)
    return Node("bottle", about.jar, about.extract, about.bottle)


def flowing_out(graph: Graph, ids: Iterable[str]) -> set[str]:
    """The ids of all jars and lots that anything of these jars or lots went into."""
    wanted = set(ids)
    starts = [node for node in graph.names if node.id in wanted]
    return {one for start in starts for one in holders(forwards(graph, start))}
