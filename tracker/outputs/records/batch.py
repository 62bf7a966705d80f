"""The batch record of a jar with all its extracts and bottles, put together."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime

from tracker.core.facts.entry import Entry
from tracker.core.reckoning.flow_graph import Edge, Graph, Line, backwards, forwards
from tracker.core.replay.families import each_once
from tracker.core.replay.in_force import settle
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Batch, whole
from tracker.outputs.records.batch_flows import (
    Around,
    components_of,
    given_of,
    lots_of,
    parts_of,
)
from tracker.outputs.records.batch_lines import is_hold, steps_of
from tracker.outputs.records.batch_parts import Book, Record
from tracker.outputs.records.batch_yields import yields_of
from tracker.outputs.view.answers import about, ending, state
from tracker.outputs.words.flags import flag_text
from tracker.outputs.words.plant_names import herb_name


def batch_record(
    code: str,
    batch: Batch | None,
    entries: Sequence[Entry],
    around: Around,
    book: Book,
    now: datetime,
    names: Mapping[str, str],
) -> Record:
    """The batch record of one jar or blend with all its extracts and bottles.

    Args:
        code: what it goes by.
        batch: the jar or blend; None where nothing in force opens it, and only its lines are left.
        entries: every line about it.
        around: lots and flows.
        book: what the record was taken from.
        now: the present, aware.
        names: what each of the entries is called, by its id.
    """
    steps = tuple(steps_of(entries, names))
    by_id = {one.id: one for one in entries}
    in_force = [one for one in settle(each_once(list(entries))[0]).entries if _is_own(one, batch)]
    back = [] if batch is None else _outline(around.graph, batch, ahead=False)
    ahead = [] if batch is None else _outline(around.graph, batch, ahead=True)
    return Record(
        code=code,
        what="not in force: what opened it was struck" if batch is None else herb_name(batch),
        state="taken out" if batch is None else _state(batch, now.date()),
        made=now,
        book=book,
        batch={} if batch is None else about(whole(batch), now.date()),
        components=tuple(components_of(in_force, around.lots)),
        parts=() if batch is None else tuple(parts_of(batch, around)),
        yields=() if batch is None else tuple(yields_of(batch, now.date())),
        lots=tuple(lots_of(back, around)),
        given=tuple(given_of(ahead, around.graph)),
        holds=tuple(one for one in steps if is_hold(by_id[one.id])),
        labels=tuple(one for one in steps if one.kind == "labelled"),
        steps=steps,
        flags=() if batch is None else tuple(flag_text(flag) for flag in batch.flags),
    )


def _is_own(entry: Entry, batch: Batch | None) -> bool:
    return batch is not None and batch.id in entry.jars


def _state(batch: Batch, today: date) -> str:
    stands, over = state(whole(batch), today), ending(batch)
    text = stands if not over else over if isinstance(batch, Jar) else f"{stands}, {over}"
    return f"{text}{', ON HOLD' if whole(batch).on_hold else ''}"


def _outline(graph: Graph, batch: Batch, *, ahead: bool) -> list[Line]:
    """All flows beyond the batch, its extracts and bottles, each once."""
    found: dict[Edge, Line] = {}
    for node in [one for one in graph.names if one.id == batch.id]:
        for line in forwards(graph, node) if ahead else backwards(graph, node):
            found.setdefault(line.edge, line)
    return list(found.values())
