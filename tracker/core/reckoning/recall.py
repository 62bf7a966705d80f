"""What holds any of a recalled lot: what is still on the shelf, and what left."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import Discarded
from tracker.core.facts.fields import About
from tracker.core.reckoning.flow_graph import (
    Graph,
    Line,
    Node,
    forwards,
    graph_of,
    is_in,
    node_of,
)
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.misfit import NotHeld
from tracker.core.shelf.thing import Batch, Thing, things
from tracker.core.values.times import When

_NONE_LATE: Mapping[str, int] = {}


@dataclass(frozen=True, slots=True)
class Here:
    """Something on the shelf that holds any of a lot, and how much of it there is."""

    code: str
    kind: str
    jar: str
    ml: float | None
    g: float | None
    on_hold: bool


@dataclass(frozen=True, slots=True)
class Left:
    """Something that held any of a lot and is not on the shelf: given out or thrown out."""

    event: str
    code: str
    how: str
    on: When
    ml: float | None = None
    g: float | None = None
    reference: str | None = None
    days_late: int = 0  # past its last good day when it was given out


def holders(lines: Iterable[Line]) -> tuple[str, ...]:
    """The ids of every jar and lot that holds or held any of what the outline begins at."""
    kinds = ("jar", "extract", "bottle", "lot")
    return tuple(dict.fromkeys(line.node.id for line in lines if line.node.kind in kinds))


def still_here(batches: Iterable[Batch], lots: Iterable[Lot], lines: Sequence[Line]) -> list[Here]:
    """What is on the shelf and holds any of it: herb in jars, bulk, bottles, dried lots."""
    reached = {line.node for line in lines}
    found = [
        _here(thing) for batch in batches for thing in things(batch) if node_of(thing) in reached
    ]
    dried = [
        Here(lot.code, "lot", lot.id, None, lot.amount, lot.on_hold)
        for lot in lots
        if Node("lot", lot.id) in reached
    ]
    return [*dried, *(one for one in found if one is not None)]


def _here(thing: Thing) -> Here | None:
    jar, extract = thing.jar, thing.extract
    if extract is None:
        if jar is None or not jar.is_macerating:
            return None
        return Here(thing.code, "jar", jar.id, jar.contents.volume_ml, jar.marc_g, thing.on_hold)
    there_ml = extract.volume_ml if thing.bottle is None else thing.bottle.volume_ml
    if there_ml < DROP_ML:
        return None
    return Here(thing.code, thing.kind, thing.batch.id, there_ml, None, thing.on_hold)


def left(
    graph: Graph,
    lines: Sequence[Line],
    entries: Iterable[Entry],
    late: Mapping[str, int] = _NONE_LATE,
) -> list[Left]:
    """What left the shelf with any of it, the earliest first.

    Args:
        graph: where the lines come from.
        lines: the outline forwards from the lot.
        entries: those in force of every jar and lot in it, for what was thrown out.
        late: of each event that used something past its date, by how many days.
    """
    given = [
        Left(
            line.edge.event or "",
            graph.names[line.edge.source],
            line.edge.how,
            line.edge.on,
            line.edge.ml,
            line.edge.g,
            reference=line.node.id if line.node.kind == "reference" else None,
            days_late=late.get(line.edge.event or "", 0),
        )
        for line in lines
        if line.node.kind in ("reference", "given", "missing")
    ]
    thrown = [
        Left(
            one.id,
            graph.names.get(place, one.subject),
            "discarded",
            one.when,
            one.fact.volume_ml,
            one.fact.herb_g,
        )
        for one in entries
        if isinstance(one.fact, Discarded)
        and is_in(lines, place := at(one.fact.about, graph), one.when)
    ]
    return sorted([*given, *thrown], key=lambda one: (one.on.start, one.code, one.event))


def at(about: About, graph: Graph) -> Node:
    """The node of the thing an event names."""
    if about.extract is None:
        lot = Node("lot", about.jar)
        return lot if lot in graph.names else Node("jar", about.jar)
    if about.bottle is None:
        return Node("extract", about.jar, about.extract)
    return Node("bottle", about.jar, about.extract, about.bottle)


def not_held(batches: Sequence[Batch], lots: Sequence[Lot]) -> list[Flag]:
    """What holds any of a recalled lot and is on no hold, each with its reason."""
    recalled = [lot for lot in lots if lot.recalled is not None]
    if not recalled:
        return []
    graph = graph_of(batches, lots)
    flags = []
    for lot in recalled:
        lines = forwards(graph, Node("lot", lot.id))
        codes: dict[str, list[str]] = {}
        for one in still_here(batches, lots, lines):
            if not one.on_hold:
                codes.setdefault(one.jar, []).append(one.code)
        assert lot.recalled is not None
        for jar_id, named in codes.items():
            misfit = NotHeld(tuple(named), lot.code, lot.recalled.on)
            flags.append(Flag(jar_id, misfit, asks=True))
    return flags


def flowing_out(graph: Graph, ids: Iterable[str]) -> set[str]:
    """The ids of all jars and lots that anything of these jars or lots went into."""
    wanted = set(ids)
    starts = [node for node in graph.names if node.id in wanted]
    return {one for start in starts for one in holders(forwards(graph, start))}
