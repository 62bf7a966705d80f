"""Where things came from and went: `trace`; what a lot called back is in: `recall`."""

from collections.abc import Iterable
from functools import partial
from typing import Annotated

import typer

from tracker.bench.open_book import OpenBook
from tracker.cli.desk import AsJson, Desk, desk_json, echo_lines
from tracker.cli.find import thing_or_lot
from tracker.cli.sheet import recording
from tracker.cli.verbs.lists import damaged
from tracker.core.facts.entry import Entry
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
from tracker.core.reckoning.recall import Here, Left, holders, left, not_held, still_here
from tracker.core.replay.families import each_once
from tracker.core.replay.in_force import settle
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch
from tracker.core.values.errors import MisusedError, UnknownCodeError
from tracker.core.values.near_names import near_names
from tracker.core.values.text import shown
from tracker.outputs.terminal import traces
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
    said = traces.remarks(jars, lots)
    what = traces.what_is(start, {one.id: one for one in jars}, {one.id: one for one in lots})
    if as_json:
        desk_json(
            {"code": graph.names[start], "kind": start.kind, "what": what}
            | {name: traces.outline_answers(graph, own, said) for name, own in lines.items()}
            | {"not_on_hold": [flag_text(flag) for flag in open_]}
        )
    else:
        _show(desk, graph, start, what, lines, said)
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
    said: traces.Remarks,
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
        told = traces.outline(graph, own, said, total=total, colour=colour)
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
) -> None:
    """Put all that holds any of a lot on hold; list what left, when and for whom."""
    code = desk.need(code, "Which lot", read=str.strip)
    reason = desk.need(why, "Why", read=str.strip)
    with desk.recording() as sheet:
        lot = sheet.find_lot(code)
        jars, lots = sheet.book.batches(), sheet.book.lots()
        graph = graph_of(jars, lots)
        lines = forwards(graph, node_of(lot))
        held = holders(lines)
        fact = Recalled(by=desk.by, note=desk.note, about=About(jar=lot.id), jars=held, why=reason)
        sheet.add(lot.code, fact)
        here = still_here(jars, lots, lines)
        gone = left(graph, lines, _in_force(sheet.book, (lot.id, *held)))
        sheet.more |= {
            "on_hold": traces.here_answers(here),
            "left": traces.left_answers(gone),
        }
        sheet.tell(lambda: f"{lot.code} {lot.what}: recalled, {reason}")
        for line in _told(here, gone, desk.columns):
            sheet.tell(partial(str, line))


def _in_force(book: OpenBook, ids: Iterable[str]) -> list[Entry]:
    """The entries in force of these jars and lots, each once."""
    every = {one.id: one for jar_id in ids for one in book.entries_of(jar_id)}
    return settle(each_once(list(every.values()))[0]).entries


def _told(here: list[Here], gone: list[Left], total: int) -> list[str]:
    """What is on hold now and what left, in lines."""
    lines = ["On hold from now on:"] if here else ["Nothing on the shelf holds any of it."]
    lines += [f"  {one.code}  {one.kind}, {traces.amount(one.ml, one.g)}" for one in here]
    if not gone:
        return [*lines, "Nothing of it left the shelf."]
    table = traces.left_table(gone, total=total - 2, colour=False)
    return [*lines, "Left the shelf with some of it:", *(f"  {line}" for line in table)]
