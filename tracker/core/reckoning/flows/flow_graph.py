"""Where everything came from and where it went: lots, jars, extracts, bottles, references.

A graph of what flowed into what. What came into a thing after something had left it is not in
what left: of two flows through a thing the first must be able to have happened before the
second. What opened a thing is in all of it, whatever the dates say. Where days are not known
exactly the flow counts: nothing that may hold some of a lot is ever left out.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from datetime import UTC, datetime, timedelta
from itertools import compress
from typing import Literal, NamedTuple

import msgspec

from tracker.core.facts.ties import opener_of
from tracker.core.reckoning.flows.lot_balance import Account, accounts
from tracker.core.reckoning.flows.named_lots import NamedLots
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.end import GivenEnd
from tracker.core.shelf.extract import Bottle, Extract
from tracker.core.shelf.flow import Flow, Given
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch, Thing, things
from tracker.core.values.times import When

Kind = Literal["lot", "number", "jar", "extract", "bottle", "reference", "given", "missing"]
_EVER = datetime(1, 1, 2, tzinfo=UTC)


class Node(NamedTuple):
    """A thing that something flows into or out of.

    `id` is that of its jar or lot; of a reference the reference itself; of what was given out
    without one the event's. A `number` is what very many lots go by, and jars name.
    """

    kind: Kind
    id: str
    extract: str | None = None
    bottle: int | None = None


class Edge(NamedTuple):
    """What flowed from one thing into another: how much, how, when, and by which event."""

    source: Node
    into: Node
    how: str
    on: When
    event: str | None = None
    ml: float | None = None
    g: float | None = None

    @property
    def opens(self) -> bool:
        """Whether it opened what it flowed into, so that it is in all of it."""
        match self.into.kind:
            case "bottle":
                return self.how == "bottled"
            case "extract":
                return self.event == self.into.extract
            case "jar" | "lot":
                return self.event == opener_of(self.into.id)
        return True


class Line(NamedTuple):
    """One thing in an outline: how deep, what, and the flow that led to it.

    `again`: what lies beyond it is already listed further up.
    """

    depth: int
    node: Node
    edge: Edge
    again: bool


class Graph(msgspec.Struct, frozen=True):
    """Every thing's name, and the flows into and out of it."""

    names: dict[Node, str]
    into: dict[Node, list[Edge]]
    out: dict[Node, list[Edge]]


def graph_of(batches: Iterable[Batch], lots: Iterable[Lot]) -> Graph:
    """The graph of a shelf."""
    every, shelved = list(batches), list(lots)
    known = {one.id for one in every}
    names = {Node("lot", lot.id): lot.code for lot in shelved}
    named = NamedLots(every, shelved)
    names |= {Node("lot", key): name for key, name in named.names.items()}
    into: dict[Node, list[Edge]] = defaultdict(list)
    out: dict[Node, list[Edge]] = defaultdict(list)
    edges = [edge for lot in shelved for edge in _of_lot(lot, known)]
    edges += _of_numbers(named)
    names |= {Node("number", key): own[0].their_lot or "" for key, own in named.shared.items()}
    for lot, one in accounts([lot for lot in shelved if lot.counts], every):
        edges += _missing_of(lot, one)
    names |= {edge.into: "missing at a count" for edge in edges if edge.how == "missing"}
    for batch in every:
        names |= dict(_named(batch))
        edges += _of_batch(batch, known)
        edges += _from_named(batch, named)
    for edge in edges:
        names.setdefault(edge.source, edge.source.id)
        names.setdefault(edge.into, edge.into.id)
        into[edge.into].append(edge)
        out[edge.source].append(edge)
    return Graph(names, dict(into), dict(out))


def _named(batch: Batch) -> Iterator[tuple[Node, str]]:
    for thing in things(batch):
        yield node_of(thing), thing.code
    if (left := _left_whole(batch)) is not None:
        yield _taker(left), left.reference or "no reference"
    for extract in batch.extracts:
        for given in extract.given:
            yield _taker(given), given.reference or "no reference"
        for missing in extract.missing:
            yield Node("missing", missing.event), "missing at a count"


def _of_lot(lot: Lot, known: set[str]) -> Iterator[Edge]:
    if lot.parent is not None:
        yield _flowed(lot.parent, Node("lot", lot.id), known)


def _missing_of(lot: Lot, one: Account) -> Iterator[Edge]:
    for short in one.missing:
        if short.amount > DROP_ML:
            ml, g = (None, short.amount) if lot.liquid is None else (short.amount, None)
            into = Node("missing", short.event)
            yield Edge(Node("lot", lot.id), into, "missing", short.on, short.event, ml, g)


def _of_batch(batch: Batch, known: set[str]) -> Iterator[Edge]:
    if isinstance(batch, Jar):
        own = Node("jar", batch.id)
        yield from (_flowed(flow, own, known) for flow in batch.sources)
        if (left := _left_whole(batch)) is not None:
            g = batch.marc_g
            yield Edge(own, _taker(left), "given out", left.on, left.event, left.ml, g)
        for extract in batch.extracts:
            node = Node("extract", batch.id, extract.id)
            first_ml = extract.pressed_ml - extract.later_ml
            yield Edge(own, node, extract.opened, extract.pressed, extract.id, first_ml)
    for extract in batch.extracts:
        yield from _of_extract(Node("extract", batch.id, extract.id), extract, known)


def _left_whole(batch: Batch) -> Given | None:
    """The jar itself, where it was given out with its herb."""
    if not isinstance(batch, Jar) or not isinstance(batch.end, GivenEnd):
        return None
    end = batch.end
    return Given(end.event, end.on, batch.contents.volume_ml, end.reference)


def _from_named(batch: Batch, named: NamedLots) -> Iterator[Edge]:
    """Into a jar from the lots that its charge names, and of which only the name is known."""
    if isinstance(batch, Jar) and batch.opened == "charged":
        for key in named.of(batch):
            kind: Kind = "number" if key in named.shared else "lot"
            source, into = Node(kind, key), Node("jar", batch.id)
            yield Edge(source, into, "charged", batch.charged, batch.id, g=batch.named_g)


def _of_numbers(named: NamedLots) -> Iterator[Edge]:
    """From each of very many lots of one number to that number, which jars name."""
    for key, lots in named.shared.items():
        for lot in lots:
            yield Edge(Node("lot", lot.id), Node("number", key), "bears", lot.on)


def _of_extract(node: Node, extract: Extract, known: set[str]) -> Iterator[Edge]:
    yield from (_flowed(flow, node, known) for flow in extract.sources)
    for bottle in extract.bottles:
        yield from _of_bottle(node, bottle, known)
    for given in extract.given:
        source = node if given.bottle is None else _bottle_of(node, given.bottle)
        yield Edge(source, _taker(given), "dispensed", given.on, given.event, given.ml)
    for missing in extract.missing:
        source = node if missing.bottle is None else _bottle_of(node, missing.bottle)
        into = Node("missing", missing.event)
        yield Edge(source, into, "missing", missing.on, missing.event, missing.ml)


def _of_bottle(extract: Node, bottle: Bottle, known: set[str]) -> Iterator[Edge]:
    node = _bottle_of(extract, bottle.number)
    yield Edge(extract, node, "bottled", bottle.filled, ml=bottle.size_ml)
    yield from (_flowed(flow, node, known) for flow in bottle.sources)


def _bottle_of(extract: Node, number: int) -> Node:
    return Node("bottle", extract.id, extract.extract, number)


def _taker(given: Given) -> Node:
    if given.reference is None:
        return Node("given", given.event)
    return Node("reference", given.reference)


def _flowed(flow: Flow, into: Node, known: set[str]) -> Edge:
    """A flow as an edge; what is neither jar nor blend is a lot, in the book or not."""
    if flow.extract is None:
        source = Node("jar" if flow.jar in known else "lot", flow.jar)
    else:
        kind: Kind = "extract" if flow.bottle is None else "bottle"
        source = Node(kind, flow.jar, flow.extract, flow.bottle)
    return Edge(source, into, flow.how, flow.on, flow.event, flow.ml, flow.g)


def node_of(thing: Thing | Lot) -> Node:
    """The node of a thing or lot."""
    if isinstance(thing, Lot):
        return Node("lot", thing.id)
    extract = thing.extract
    if extract is None:
        return Node("jar", thing.batch.id)
    if thing.bottle is None:
        return Node("extract", thing.batch.id, extract.id)
    return Node("bottle", thing.batch.id, extract.id, thing.bottle.number)


def forwards(graph: Graph, start: Node) -> list[Line]:
    """Everything downstream of a thing, indented; each flow once."""
    return _outline(graph, start, ahead=True)


def backwards(graph: Graph, start: Node) -> list[Line]:
    """Everything upstream of a thing, indented; each flow once."""
    return _outline(graph, start, ahead=False)


def _outline(graph: Graph, start: Node, *, ahead: bool) -> list[Line]:
    beside = graph.out if ahead else graph.into
    lines: list[Line] = []
    left: dict[Node, list[Edge]] = {}  # the flows of a node that are not listed yet
    listed: dict[Node, Edge] = {}  # of those that are, the one that fits most often

    def next_to(node: Node, by: Edge | None) -> tuple[list[Edge], bool]:
        own = left.setdefault(node, list(beside.get(node, ())))
        fits = [_fits(by, one, ahead=ahead) for one in own]
        passed = listed.get(node)
        again = passed is not None and _fits(by, passed, ahead=ahead)
        fresh = list(compress(own, fits))
        if fresh:
            left[node] = [one for one, is_fresh in zip(own, fits, strict=True) if not is_fresh]
            listed[node] = _fitting_most(fresh if passed is None else [passed, *fresh], ahead)
        return fresh, again

    stack = [(0, edge) for edge in reversed(next_to(start, None)[0])]
    while stack:
        depth, edge = stack.pop()
        node = edge.into if ahead else edge.source
        fresh, again = next_to(node, edge)
        lines.append(Line(depth, node, edge, again))
        stack += [(depth + 1, one) for one in reversed(fresh)]
    return lines


def _fits(by: Edge | None, other: Edge, *, ahead: bool) -> bool:
    if by is None:
        return True
    return _follows(by, other.on) if ahead else _follows(other, by.on)


def _fitting_most(edges: Sequence[Edge], ahead: bool) -> Edge:
    """The one that fits wherever any of these does."""
    if ahead:
        return max(edges, key=lambda one: _last(one.on))
    return min(edges, key=lambda one: (not one.opens, _first(one.on)))


def _follows(inflow: Edge, later: When) -> bool:
    """Whether what flowed in may be in what left at a time."""
    return inflow.opens or _first(inflow.on) <= _last(later)


def _first(when: When) -> datetime:
    return _EVER if when.precision == "unknown" else when.start


def _last(when: When) -> datetime:
    """The end of the range; a day of a zone that changed its clocks is an hour off, no more."""
    if when.precision in ("time", "unknown"):
        return when.start
    whole = timedelta(days=(when.latest - when.start.date()).days + 1)
    return when.start + whole - timedelta.resolution


def is_in(lines: Sequence[Line], node: Node, when: When) -> bool:
    """Whether an outline forwards reaches what was taken out of a thing at a time."""
    return any(line.node == node and _follows(line.edge, when) for line in lines)
