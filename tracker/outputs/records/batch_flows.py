"""What went into a batch and where from, and what was given out of it."""

from collections.abc import Iterable, Mapping

import msgspec

from tracker.core.facts.entry import Entry
from tracker.core.facts.fields import HerbFact, Pour
from tracker.core.facts.jars import Charged
from tracker.core.facts.kinds import pours_of
from tracker.core.menstruum.liquids import called
from tracker.core.practice.practice import Practice
from tracker.core.reckoning.flows.flow_graph import Graph, Line, Node, backwards
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch
from tracker.outputs.answer_fields import rounded
from tracker.outputs.records.batch_parts import BlendPart, Component, GivenOut
from tracker.outputs.words.flow_names import herb_name_of


class Around(msgspec.Struct, frozen=True):
    """What a record needs to know beside its batch: the rules, the lots, what flowed where.

    `not_held`: what holds some of a lot called back and is on no hold.
    """

    practice: Practice
    graph: Graph
    batches: Mapping[str, Batch]
    lots: Mapping[str, Lot]
    not_held: tuple[Flag, ...] = ()


def components_of(entries: Iterable[Entry], lots: Mapping[str, Lot]) -> Iterable[Component]:
    """Everything weighed or measured in by these entries, as it counts now."""
    for entry in entries:
        fact = entry.fact
        if isinstance(fact, HerbFact):
            part = f" {fact.part}" if fact.part else ""
            yield Component(
                entry.id,
                entry.when.iso,
                f"{fact.herb}{part}, {fact.form}",
                rounded(fact.herb_g),
                "g",
                fact.herb_known,
                fact.by,
                fact.herb_written,
                *(_of_lot(fact.herb_lot, lots) if fact.herb_lot else (_named(fact), None, None)),
            )
        for pour in pours_of(fact):
            yield _poured(entry, pour, lots)


def _poured(entry: Entry, pour: Pour, lots: Mapping[str, Lot]) -> Component:
    """A pour; the lot of an extract is the extract, and the lots behind it are listed apart."""
    origin = _of_lot(pour.lot, lots) if pour.of is None else (pour.name, None, None)
    return Component(
        entry.id,
        entry.when.iso,
        _called(pour),
        rounded(pour.volume_ml),
        "ml",
        pour.known,
        entry.fact.by,
        pour.written,
        *origin,
    )


def _called(pour: Pour) -> str:
    if pour.of is not None:
        return pour.liquid
    return called(pour.liquid, pour.ethanol_pct_vol, pour.glycerin_pct_mass, pour.name)


def _named(fact: HerbFact) -> str | None:
    """The lots that a charge names and that are not in the book."""
    return ", ".join(fact.lots) or None if isinstance(fact, Charged) else None


def _of_lot(lot_id: str | None, lots: Mapping[str, Lot]) -> tuple[str | None, ...]:
    lot = lots.get(lot_id or "")
    return (lot_id, None, None) if lot is None else (lot.code, lot.where, lot.their_lot)


def parts_of(batch: Batch, around: Around) -> Iterable[BlendPart]:
    """The jars, extracts and bottles that flowed into it, with the lots behind each."""
    graph = around.graph
    for node in [one for one in graph.names if one.id == batch.id]:
        for edge in graph.into.get(node, ()):
            if edge.source.kind == "lot" or edge.source.id == batch.id:
                continue
            behind = [line.node for line in backwards(graph, edge.source)]
            source = around.batches.get(edge.source.id)
            yield BlendPart(
                graph.names[edge.source],
                "" if source is None else herb_name_of(edge.source, source),
                edge.how,
                edge.on.iso,
                rounded(edge.ml),
                tuple(dict.fromkeys(graph.names[one] for one in behind if one.kind == "lot")),
            )


def lots_of(back: Iterable[Line], around: Around) -> Iterable[str]:
    """Every lot behind it, in words."""
    for node in dict.fromkeys(line.node for line in back):
        if node.kind == "lot":
            lot = around.lots.get(node.id)
            text = "not in the book, named at the charge" if lot is None else _lot(lot)
            yield f"{around.graph.names[node]}: {text}"


def _lot(lot: Lot) -> str:
    text = f"{lot.what}, {lot.how} {lot.on}"
    text += f", from {lot.where}" if lot.where else ""
    text += f", their lot {lot.their_lot}" if lot.their_lot else ""
    return text + (", RECALLED" if lot.recalled else "")


def given_of(ahead: Iterable[Line], graph: Graph) -> list[GivenOut]:
    """Everything of it that was given out, also by way of a blend, the earliest first."""
    edges = [line.edge for line in ahead if line.node.kind in ("reference", "given")]
    return [
        GivenOut(
            edge.event,
            graph.names[edge.source],
            edge.on.iso,
            rounded(edge.ml),
            _who(edge.into),
        )
        for edge in sorted(edges, key=lambda one: (one.on.start, one.event or ""))
    ]


def _who(node: Node) -> str | None:
    return node.id if node.kind == "reference" else None
