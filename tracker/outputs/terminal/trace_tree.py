"""Where a thing came from or went as a tree on the screen: each thing under what it flowed from."""

from collections.abc import Mapping, Sequence

import msgspec

from tracker.core.facts.fields import About
from tracker.core.practice.practice import PlantNames
from tracker.core.reckoning.flows.flow_graph import Graph, Line, Node
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.part import thing_in
from tracker.core.shelf.thing import Batch
from tracker.core.values.day_words import Present
from tracker.core.values.text import shown
from tracker.outputs.terminal.lot_names import lot_called
from tracker.outputs.terminal.table import styled, width
from tracker.outputs.terminal.trace_lines import Remarks, amount
from tracker.outputs.terminal.wrapping import together, wrapped
from tracker.outputs.view.made import herbs_of
from tracker.outputs.words.fact_lines import past_date
from tracker.outputs.words.plant_names import called

_DEEPEST = 12  # further in, a tree would leave no room for words


class Called(msgspec.Struct, frozen=True):
    """What the things of a tree are called."""

    batches: Mapping[str, Batch]
    lots: Mapping[str, Lot]
    names: PlantNames

    def name(self, node: Node) -> str:
        """`lemon balm leaf, dried`; nothing where it is no thing of the book."""
        if node.kind == "lot":
            lot = self.lots.get(node.id)
            return "" if lot is None else lot_called(lot, self.names)
        batch = self.batches.get(node.id)
        if batch is None:
            return ""
        about = About(jar=node.id, extract=node.extract, bottle=node.bottle)
        thing = thing_in({node.id: batch}, about)
        made = batch.contents if thing is None else thing.made
        return called(herbs_of(batch, made), self.names)


class Told(msgspec.Struct, frozen=True):
    """What is told of a tree beside its flows.

    Attributes:
        called: what its things are called.
        said: what stands on hold, was recalled, or is used up.
        late: the events that used something past its date, and by how many days.
        present: what days are said from.
    """

    graph: Graph
    called: Called
    said: Remarks
    late: Mapping[str, int]
    present: Present


def title(start: Node, what: str, told: Told, total: int, *, colour: bool) -> list[str]:
    """Name, code and kind of what is traced, and whether it may be used."""
    name, code = told.called.name(start), told.graph.names[start]
    text = f"{name}  {code}, {what.partition(',')[0]}" if name else f"{code}  {what}"
    lines = [styled(one, "bold", colour=colour) for one in wrapped(shown(text), total)]
    remark, style = told.said.get(start, ("", ""))
    return lines + ([styled(remark, style, colour=colour)] if remark else [])


def tree(start: Node, lines: Sequence[Line], told: Told, *, total: int, colour: bool) -> list[str]:
    """The flows in lines no wider than the screen; a name where it is another than above it."""
    above = {-1: told.called.name(start)}
    found: list[str] = []
    for line in lines:
        name = told.called.name(line.node)
        parent = above.get(line.depth - 1, "")
        above[line.depth] = name or parent
        found += _line(line, name if name != parent else "", told, total=total, colour=colour)
    return found


def _line(line: Line, name: str, told: Told, *, total: int, colour: bool) -> list[str]:
    deep = "  " * min(line.depth + 1, _DEEPEST)
    remark, style = told.said.get(line.node, ("", ""))
    edge = line.edge
    flow = together(f"{amount(edge.ml, edge.g)} {edge.how} {told.present.said(edge.on)}")
    past = past_date(told.late.get(edge.event or "", 0))
    again = "; the rest above" if line.again else ""
    named = f"{name}  " if name else ""
    text = f"{told.graph.names[line.node]}  {named}{flow}{past}{again}"
    room = total - len(deep) - (len(remark) + 2 if remark else 0)
    first, *rest = wrapped(shown(text), room)
    more = f"  {styled(remark, style, colour=colour)}" if remark else ""
    return [f"{deep}{first}{more}", *(f"{deep}    {one}" for one in _again(rest, room - 4))]


def _again(rest: Sequence[str], room: int) -> list[str]:
    """What does not stand in the first line, in lines that begin further in."""
    if all(width(one) <= room for one in rest):
        return list(rest)
    return wrapped(" ".join(rest), room)
