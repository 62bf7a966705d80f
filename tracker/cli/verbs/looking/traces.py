"""Where things came from and went: `trace`; what a lot called back is in: `recall`."""

from datetime import date
from typing import Annotated

import msgspec
import typer

from tracker.cli.damaged_book import damaged
from tracker.cli.desk import AsCsv, AsJson, Desk, On
from tracker.cli.given.code_asked import thing_asked
from tracker.cli.given.lots_named import the_named, unknown_lot
from tracker.cli.options import recording
from tracker.cli.printing import echo_csv, echo_json, echo_lines
from tracker.core.facts.entry import Entry
from tracker.core.facts.fields import About
from tracker.core.facts.lots import Recalled
from tracker.core.reckoning.flows.flow_graph import (
    Graph,
    Line,
    Node,
    backwards,
    forwards,
    graph_of,
    node_of,
)
from tracker.core.reckoning.flows.named_lots import NamedLots
from tracker.core.reckoning.flows.not_on_hold import not_held
from tracker.core.reckoning.flows.recall import Reach, holders, reach_of
from tracker.core.reckoning.keeps import days_late_of
from tracker.core.replay.in_force import settle
from tracker.core.rules.recorded import Recorded
from tracker.core.rules.verdict import Finding
from tracker.core.shelf.find_by_code import lots_called
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch
from tracker.core.values.command_words import command
from tracker.core.values.day_words import short_day
from tracker.core.values.errors import MisusedError, RefusedError, UnknownCodeError
from tracker.core.values.near_names import near_names
from tracker.core.values.text import shown
from tracker.outputs.terminal import trace_lines
from tracker.outputs.terminal.table import styled
from tracker.outputs.terminal.trace_tree import Called, Told, title, tree
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
    on: On = None,
    as_json: AsJson = False,
    as_csv: AsCsv = False,
) -> None:
    """Where a thing came from, and where any of it went.

    Of a lot it shows where all of it is.
    """
    desk = Desk(context.obj, as_json=as_json)
    if (code is None) == (reference is None):
        raise MisusedError(
            "One thing is traced at a time.",
            where="the command line",
            do="give a code, or --for and a reference.",
        )
    found = _traced(desk, code, reference, desk.day(on, "past"))
    if as_csv:
        if found.reach is None:
            raise _no_list()
        echo_csv(trace_lines.reach_rows(found.reach))
    elif as_json:
        echo_json(_fields(found))
    else:
        _print(desk, found)
    damaged(desk)


class _Traced(msgspec.Struct, frozen=True):
    """What was traced, and the flows into and out of it.

    Attributes:
        jars, lots: all that is named in the flows, and more perhaps.
        open: what holds some of a recalled lot and is on no hold.
        reach: where all of it is, of a lot.
    """

    start: Node
    day: date | None
    jars: dict[str, Batch]
    lots: dict[str, Lot]
    told: Told
    lines: dict[str, list[Line]]
    open: list[Flag]
    reach: Reach | None

    @property
    def what(self) -> str:
        """What it is, in a few words."""
        return trace_lines.what_is(self.start, self.jars, self.lots)


def _traced(desk: Desk, code: str | None, reference: str | None, day: date | None) -> _Traced:
    start = None if code is None else _start(desk, code)
    if start is None or day is not None:
        jars, lots = desk.bench.shelved(on=day)
    else:
        jars, lots = desk.bench.flowing([start.id])
    graph = graph_of(jars, lots)
    if start is None:
        assert reference is not None
        start = _referred_to(graph, reference)
    _must_be_there(graph, start, code, day)
    lines = {"came_from": backwards(graph, start), "went_into": forwards(graph, start)}
    late = days_late_of(jars, desk.bench.practice)
    reach = None
    if start.kind == "lot":
        entries = _entries(desk, start, lines["went_into"], day)
        reach = reach_of(start, jars, lots, entries, late)
    by_id, lot_of = {one.id: one for one in jars}, {one.id: one for one in lots}
    told = Told(
        graph,
        Called(by_id, lot_of, desk.bench.practice.names),
        _remarks(desk, jars, lots, day),
        late,
        desk.bench.present,
    )
    flags = desk.bench.not_held() if day is None else not_held(jars, lots)
    around = {start.id} | {line.node.id for own in lines.values() for line in own}
    open_ = [flag for flag in flags if flag.event in around]
    return _Traced(start, day, by_id, lot_of, told, lines, open_, reach)


def _no_list() -> MisusedError:
    do = "name a lot, or leave --csv out."
    return MisusedError("Only a lot has a list of all it went into.", where="--csv", do=do)


def _fields(found: _Traced) -> dict[str, object]:
    told = found.told
    outlines = {
        name: trace_lines.outline_answers(told.graph, own, told.said, told.late)
        for name, own in found.lines.items()
    }
    return {
        "code": told.graph.names[found.start],
        "kind": found.start.kind,
        "what": found.what,
        "remark": told.said.get(found.start, (None, ""))[0],
        **outlines,
        "not_on_hold": [flag_text(flag) for flag in found.open],
        **({} if found.reach is None else _reach_fields(found.reach)),
    }


def _print(desk: Desk, found: _Traced) -> None:
    _show(desk, found.start, found.what, found.lines, found.told, found.day)
    if found.reach is not None and found.reach.balance is not None:
        echo_lines([shown(line) for line in trace_lines.balance_lines(found.reach)], desk.colour)
    for flag in found.open:
        typer.echo(f"RECALLED: {shown(flag_text(flag))}.", err=True)


def _start(desk: Desk, code: str) -> Node:
    try:
        return node_of(thing_asked(desk.bench, code, as_json=desk.as_json))
    except UnknownCodeError as unknown:
        return _named(desk, code, unknown)


def _referred_to(graph: Graph, reference: str) -> Node:
    """The reference of that name, in any capitals.

    Raises:
        UnknownCodeError: nothing was given out under it.
    """
    every = {node.id for node in graph.names if node.kind == "reference"}
    wanted = [one for one in every if one.casefold() == reference.strip().casefold()]
    if not wanted:
        raise UnknownCodeError(reference, near_names(reference, every), list_verb="trace CODE")
    return Node("reference", wanted[0])


def _named(desk: Desk, text: str, unknown: UnknownCodeError) -> Node:
    """The lot that only charges name so."""
    keys = NamedLots(desk.bench.batches(), desk.bench.lots())
    return Node("lot", the_named(text, keys, unknown))


def _remarks(
    desk: Desk, jars: list[Batch], lots: list[Lot], day: date | None
) -> trace_lines.Remarks:
    """What is said of each by a day, and what was found wrong with it since."""
    said = trace_lines.remarks(jars, lots)
    if day is not None:
        now = trace_lines.remarks(desk.bench.batches(), desk.bench.lots())
        said |= {node: remark for node, remark in now.items() if remark != trace_lines.EMPTY}
    return said


def _entries(desk: Desk, lot: Node, ahead: list[Line], day: date | None) -> list[Entry]:
    """What had happened by a day to a lot and to all it went into."""
    told = desk.bench.entries_about(dict.fromkeys((lot.id, *holders(ahead))))
    return [one for one in settle(told).entries if day is None or one.when.earliest <= day]


def _reach_fields(reach: Reach) -> dict[str, object]:
    return {
        "here": trace_lines.here_answers(reach.here),
        "left": trace_lines.left_answers(reach.left),
        "balance": trace_lines.balance_answer(reach),
    }


def _must_be_there(graph: Graph, start: Node, code: str | None, day: date | None) -> None:
    """Raise RefusedError where a thing of the book was not there by a day."""
    if day is not None and code is not None and start not in graph.names:
        what = f"it was not there on {short_day(day)}"
        raise RefusedError(code, what, do=f"`{command('history', code)}` shows when it came.")


def _show(
    desk: Desk,
    start: Node,
    what: str,
    lines: dict[str, list[Line]],
    told: Told,
    day: date | None,
) -> None:
    colour, total = desk.colour, desk.columns
    out = title(start, what, told, total, colour=colour)
    if day is not None:
        known = f"What happened through {desk.bench.present.said(day)}, as it is known now."
        out.append(styled(known, "faint", colour=colour))
    nothing = {"came_from": "nothing that is in the book", "went_into": "nothing yet"}
    for name, own in lines.items():
        out.append(styled(name.replace("_", " "), "faint", colour=colour))
        out += tree(start, own, told, total=total, colour=colour) or [f"  {nothing[name]}"]
    echo_lines(out, colour)


@app.command()
@recording
def recall(
    desk: Desk,
    code: Annotated[str | None, typer.Argument(metavar="LOT", help="The lot.")] = None,
    why: Annotated[str | None, typer.Option(help="Why it was called back.")] = None,
) -> Recorded:
    """Put all that holds any of a lot on hold; list what left.

    What left is listed with when and for whom. The lot is named by its code, by the supplier's
    number, by its herb or liquid, or by the name its jars were charged with.
    """
    text, reason = desk.code(code, "Which lot"), desk.need(why, "Why", read=str.strip)
    facts: list[tuple[str, Recalled]] = []
    for lot in _lots(desk, text):
        held = _holding(desk, node_of(lot))
        facts.append((lot.code, Recalled(about=About(jar=lot.id), jars=held, why=reason)))
    if not facts:
        lots = desk.book.lots()
        names = NamedLots(desk.book.batches(), lots)
        key = the_named(text, names, unknown_lot(text, names, lots))
        held, name = _holding(desk, Node("lot", key)), names.names[key]
        about = About(jar=held[0])
        facts.append((name, Recalled(about=about, jars=held, named=name, why=reason)))
    if len(facts) > 1:
        desk.ask_about(_several(text, [one for one, _ in facts]))
    return desk.record_all(facts)


def _holding(desk: Desk, lot: Node) -> tuple[str, ...]:
    """The ids of every jar and lot that holds or held any of a lot."""
    graph = graph_of(desk.book.reached([lot.id]), desk.book.lots())
    return holders(forwards(graph, lot))


def _lots(desk: Desk, text: str) -> list[Lot]:
    """The lots that are called back: of a supplier's number all that bear it, else the one meant.

    None where only charges name a lot so.

    Raises:
        UnknownCodeError, SeveralFitError: none fits, or several do and nobody chooses.
    """
    every = desk.book.lots()
    found = lots_called(text, every)
    if not found:
        names = NamedLots(desk.book.batches(), every)
        begins = any(lot.code.upper().startswith(text.strip().upper()) for lot in every)
        if names.called(text) and not begins:
            return []
        try:
            return [desk.lot(text)]
        except UnknownCodeError as unknown:
            near = unknown_lot(text, names, every)
            raise near if near.near else unknown from None
    ids = {lot.id for lot in found}
    # What was dried of a lot is called back with it.
    return [lot for lot in found if lot.parent is None or lot.parent.jar not in ids]


def _several(text: str, codes: list[str]) -> Finding:
    what = f"{len(codes)} lots have that supplier's number, and all are called back: "
    return Finding(
        "lot", text, what + ", ".join(codes), "name one by its own code", weight="question"
    )
