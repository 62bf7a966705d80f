"""Where things came from and went: `trace`; what a lot called back is in: `recall`."""

from collections.abc import Iterable
from typing import Annotated

import typer

from tracker.cli.desk import AsJson, Desk, desk_json, echo_lines
from tracker.cli.find import thing_or_lot
from tracker.cli.options import recording
from tracker.cli.verbs.looking.lists import damaged
from tracker.core.facts.fields import About
from tracker.core.facts.lots import Recalled
from tracker.core.reckoning.flow_graph import (
    Graph,
    Line,
    Node,
    backwards,
    forwards,
    graph_of,
    node_of,
)
from tracker.core.reckoning.keeps import days_late_of
from tracker.core.reckoning.recall import holders, not_held
from tracker.core.rules.recorded import Recorded
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch
from tracker.core.values.errors import MisusedError, UnknownCodeError
from tracker.core.values.near_names import near_names
from tracker.core.values.text import shown
from tracker.outputs.terminal import trace_lines
from tracker.outputs.terminal.table import styled
from tracker.outputs.words.flags import flag_text

app = typer.Typer(rich_markup_mode=None)


@app.command()
def trace(
    context: typer.Context,
    code: Annotated[
        str | None, typer.Argument(help="A lot, jar, extract, blend or bottle.")
    ] = None,
    reference: Annotated[
        str | None, typer.Option("--for", help="A reference things were given out under.")
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Where a thing came from, and where any of it went."""
    desk = Desk(context.obj)
    if (code is None) == (reference is None):
        raise MisusedError(
            "One thing is traced at a time.",
            where="the command line",
            do="give a code, or --for and a reference.",
        )
    jars, lots = desk.bench.batches(), desk.bench.lots()
    graph = graph_of(jars, lots)
    start = _start(desk, graph, code, reference)
    lines = {
        "came_from": backwards(graph, start),
        "went_into": forwards(graph, start),
    }
    open_ = _open_recalls(jars, lots, start, lines.values())
    said = trace_lines.remarks(jars, lots)
    late = days_late_of(jars, desk.bench.practice)
    what = trace_lines.what_is(start, {one.id: one for one in jars}, {one.id: one for one in lots})
    if as_json:
        desk_json(
            {"code": graph.names[start], "kind": start.kind, "what": what}
            | {
                name: trace_lines.outline_answers(graph, own, said, late)
                for name, own in lines.items()
            }
            | {"not_on_hold": [flag_text(flag) for flag in open_]}
        )
    else:
        _show(desk, graph, start, what, lines, said, late)
        for flag in open_:
            typer.echo(f"RECALLED: {shown(flag_text(flag))}.", err=True)
    damaged(desk)


def _start(desk: Desk, graph: Graph, code: str | None, reference: str | None) -> Node:
    if code is not None:
        return node_of(thing_or_lot(desk.bench, code))
    assert reference is not None
    every = {node.id for node in graph.names if node.kind == "reference"}
    wanted = [one for one in every if one.casefold() == reference.strip().casefold()]
    if not wanted:
        raise UnknownCodeError(reference, near_names(reference, every), list_verb="trace CODE")
    return Node("reference", wanted[0])


def _show(
    desk: Desk,
    graph: Graph,
    start: Node,
    what: str,
    lines: dict[str, list[Line]],
    said: trace_lines.Remarks,
    late: dict[str, int],
) -> None:
    colour, total = desk.colour, desk.columns
    title = shown(f"{graph.names[start]}  {what}")
    remark, style = said.get(start, ("", ""))
    out = [styled(title, "bold", colour=colour)]
    if remark:
        out[0] += f"  {styled(remark, style, colour=colour)}"
    nothing = {"came_from": "nothing that is in the book", "went_into": "nothing yet"}
    for name, own in lines.items():
        out.append(styled(name.replace("_", " "), "faint", colour=colour))
        told = trace_lines.outline(graph, own, said, late, total=total, colour=colour)
        out += told or [f"  {nothing[name]}"]
    echo_lines(out, colour)


def _open_recalls(
    jars: list[Batch], lots: list[Lot], start: Node, outlines: Iterable[list[Line]]
) -> list[Flag]:
    """What in these outlines holds some of a recalled lot and is on no hold."""
    ids = {start.id} | {line.node.id for lines in outlines for line in lines}
    return [flag for flag in not_held(jars, lots) if flag.event in ids]


@app.command()
@recording
def recall(
    desk: Desk,
    code: Annotated[str | None, typer.Argument(metavar="LOT", help="The lot.")] = None,
    why: Annotated[str | None, typer.Option(help="Why it was called back.")] = None,
) -> Recorded:
    """Put all that holds any of a lot on hold; list what left, when and for whom."""
    named, reason = desk.code(code, "Which lot"), desk.need(why, "Why", read=str.strip)
    lot = desk.lot(named)
    held = holders(forwards(graph_of(desk.book.batches(), desk.book.lots()), node_of(lot)))
    return desk.record(lot.code, Recalled(about=About(jar=lot.id), jars=held, why=reason))
