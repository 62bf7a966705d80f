"""What went into a batch and where from, and what was given out of it."""

from collections.abc import Iterable, Mapping
from datetime import date

import msgspec
from msgspec.structs import replace

from tracker.core.facts.entry import Entry
from tracker.core.facts.fields import About, HerbFact, Pour
from tracker.core.facts.jars import Charged
from tracker.core.facts.kinds import pours_of
from tracker.core.menstruum.liquids import called
from tracker.core.practice.practice import Practice
from tracker.core.reckoning.flows.flow_graph import Edge, Graph, Line, backwards, forwards
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.part import thing_in
from tracker.core.shelf.thing import Batch, whole
from tracker.outputs.answer_fields import iso, rounded
from tracker.outputs.records.batch_lines import hour_of
from tracker.outputs.records.batch_parts import BlendPart, Component, GivenOut
from tracker.outputs.view.thing_view import view_of
from tracker.outputs.words.caution_words import caution_text
from tracker.outputs.words.flow_names import herb_name_of
from tracker.outputs.words.holds import held_since


class Around(msgspec.Struct, frozen=True):
    """What a record needs to know beside its batch: the rules, the lots, what flowed where.

    `not_held`: what holds some of a lot called back and is on no hold; `elsewhere`, the lines of
    others that some of the batch went into.
    """

    practice: Practice
    graph: Graph
    batches: Mapping[str, Batch]
    lots: Mapping[str, Lot]
    not_held: tuple[Flag, ...] = ()
    elsewhere: tuple[Entry, ...] = ()


def components_of(entries: Iterable[Entry], lots: Mapping[str, Lot]) -> Iterable[Component]:
    """Everything weighed or measured in by these entries, as it counts now."""
    for entry in entries:
        fact = entry.fact
        if isinstance(fact, HerbFact):
            yield _weighed(entry, fact, lots)
        for pour in pours_of(fact):
            yield _poured(entry, pour, lots)


def _weighed(entry: Entry, fact: HerbFact, lots: Mapping[str, Lot]) -> Component:
    part = f" {fact.part}" if fact.part else ""
    component = Component(
        event=entry.id,
        on=entry.when.iso,
        what=f"{fact.herb}{part}, {fact.form}",
        amount=rounded(fact.herb_g),
        unit="g",
        known=fact.herb_known,
        by=fact.by,
        written=fact.herb_written,
        herb=fact.herb,
        at=hour_of(entry.when),
    )
    if fact.herb_lot:
        return _out_of(component, fact.herb_lot, lots)
    return replace(component, lot=_named(fact))


def _poured(entry: Entry, pour: Pour, lots: Mapping[str, Lot]) -> Component:
    """A pour; the lot of an extract is the extract, and the lots behind it are listed apart."""
    component = Component(
        event=entry.id,
        on=entry.when.iso,
        what=_called(pour),
        amount=rounded(pour.volume_ml),
        unit="ml",
        known=pour.known,
        by=entry.fact.by,
        written=pour.written,
        at=hour_of(entry.when),
    )
    if pour.of is not None:
        return replace(component, lot=pour.name)
    return _out_of(component, pour.lot, lots)


def _out_of(component: Component, lot_id: str | None, lots: Mapping[str, Lot]) -> Component:
    """A component with the lot it came out of; one that is not in the book is named by its id."""
    lot = lots.get(lot_id or "")
    if lot is None:
        return replace(component, lot=lot_id)
    return replace(
        component,
        lot=lot.code,
        where=lot.where,
        their_lot=lot.their_lot,
        lot_in_book=True,
        lot_recalled=lot.recalled,
    )


def _called(pour: Pour) -> str:
    if pour.of is not None:
        return pour.liquid
    return called(pour.liquid, pour.ethanol_pct_vol, pour.glycerin_pct_mass, pour.name)


def _named(fact: HerbFact) -> str | None:
    """The lots that a charge names and that are not in the book."""
    return ", ".join(fact.lots) or None if isinstance(fact, Charged) else None


def parts_of(batch: Batch, around: Around, today: date) -> Iterable[BlendPart]:
    """The jars, extracts and bottles that flowed into it, with the lots behind each."""
    graph = around.graph
    for node in [one for one in graph.names if one.id == batch.id]:
        for edge in graph.into.get(node, ()):
            if edge.source.kind != "lot" and edge.source.id != batch.id:
                yield _part(edge, around, today)


def _part(edge: Edge, around: Around, today: date) -> BlendPart:
    """What one source gave, with its own days, hold and cautions as they are now."""
    graph, node = around.graph, edge.source
    behind = [line.node for line in backwards(graph, node)]
    part = BlendPart(
        code=graph.names[node],
        what="",
        how=edge.how,
        on=edge.on.iso,
        ml=rounded(edge.ml),
        lots=tuple(dict.fromkeys(graph.names[one] for one in behind if one.kind == "lot")),
    )
    batch = around.batches.get(node.id)
    if batch is None:
        return part
    about = About(jar=node.id, extract=node.extract, bottle=node.bottle)
    thing = thing_in({node.id: batch}, about) or whole(batch)
    view = view_of(thing, around.practice, today, flags=around.not_held)
    row = view.row
    return replace(
        part,
        what=herb_name_of(node, batch),
        charged=None if row.charged is None else row.charged.iso,
        pressed=None if row.pressed is None else row.pressed.iso,
        good_through=iso(row.good_through),
        hold=None if row.hold is None else held_since(row.hold),
        cautions=tuple(caution_text(one) for one in view.cautions),
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


def given_of(
    ahead: Iterable[Line], graph: Graph, entries: Iterable[Entry], names: Mapping[str, str]
) -> list[GivenOut]:
    """Everything of it that was given out, also by way of a blend, the earliest first.

    `entries` are the lines in force that may have given it, and `names` what each is called.
    """
    edges = [line.edge for line in ahead if line.node.kind in ("reference", "given")]
    by_id = {one.id: one for one in entries}
    return [
        _given(edge, graph, by_id.get(edge.event or ""), names)
        for edge in sorted(edges, key=lambda one: (one.on.start, one.event or ""))
    ]


def _given(edge: Edge, graph: Graph, entry: Entry | None, names: Mapping[str, str]) -> GivenOut:
    return GivenOut(
        edge.event,
        graph.names[edge.source],
        edge.on.iso,
        rounded(edge.ml),
        edge.into.id if edge.into.kind == "reference" else None,
        None if entry is None else entry.fact.by,
        names.get(edge.event or ""),
    )


def gave_elsewhere(graph: Graph, batch: Batch) -> set[str]:
    """The ids of other jars and blends that gave out some of a batch."""
    nodes = [one for one in graph.names if one.id == batch.id]
    lines = (line for node in nodes for line in forwards(graph, node))
    given = {line.edge.source.id for line in lines if line.node.kind in ("reference", "given")}
    return given - {batch.id}
