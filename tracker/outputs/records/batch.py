"""The batch record of a jar with all its extracts and bottles, put together."""

from collections.abc import Mapping, Sequence
from datetime import datetime

from tracker.core.facts.entry import Entry
from tracker.core.reckoning.cautions import Caution, cautions
from tracker.core.reckoning.flows.flow_graph import Edge, Graph, Line, backwards, forwards
from tracker.core.reckoning.keeps import days_late_of
from tracker.core.replay.families import each_once
from tracker.core.replay.in_force import settle
from tracker.core.shelf.thing import Batch, things, whole
from tracker.outputs.answer_fields import thing_fields
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
from tracker.outputs.view.thing_view import RowView, ThingView, view_of
from tracker.outputs.words.caution_words import caution_lines
from tracker.outputs.words.flags import flag_text
from tracker.outputs.words.holds import held_since
from tracker.outputs.words.plant_names import herbs_named
from tracker.outputs.words.standing import ending


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
    today = now.date()
    late = days_late_of(around.batches.values(), around.practice)
    steps = tuple(steps_of(entries, names, late))
    by_id = {one.id: one for one in entries}
    in_force = [one for one in settle(each_once(list(entries))[0]).entries if _is_own(one, batch)]
    back = [] if batch is None else _outline(around.graph, batch, ahead=False)
    ahead = [] if batch is None else _outline(around.graph, batch, ahead=True)
    view = None
    if batch is not None:
        view = view_of(whole(batch), around.practice, today, flags=around.not_held)
    return Record(
        code=code,
        what=_what(view),
        state="taken out" if view is None else _state(view.row),
        hold=None if view is None or view.row.hold is None else held_since(view.row.hold),
        made=now,
        book=book,
        batch={} if view is None else thing_fields(view),
        cautions=() if batch is None else tuple(caution_lines(_cautions(batch), sources=True)),
        components=tuple(components_of(in_force, around.lots)),
        parts=() if batch is None else tuple(parts_of(batch, around)),
        yields=() if batch is None or view is None else tuple(yields_of(batch, view)),
        lots=tuple(lots_of(back, around)),
        given=tuple(given_of(ahead, around.graph)),
        holds=tuple(one for one in steps if is_hold(by_id[one.id])),
        labels=tuple(one for one in steps if one.kind == "labelled"),
        steps=steps,
        flags=() if view is None else tuple(flag_text(flag) for flag in view.flags),
    )


def _cautions(batch: Batch) -> list[Caution]:
    """Those of all that there is of a batch: a bottle may have been refilled with another herb."""
    every = (one for thing in (whole(batch), *things(batch)) for one in cautions(batch, thing.made))
    return sorted(dict.fromkeys(every), key=lambda one: not one.is_grave)


def _what(view: ThingView | None) -> str:
    if view is None:
        return "does not count: what began it was struck"
    return " + ".join(herbs_named([one]) for one in view.row.herbs)


def _is_own(entry: Entry, batch: Batch | None) -> bool:
    return batch is not None and batch.id in entry.jars


def _state(row: RowView) -> str:
    if row.kind == "blend":
        return f"{row.state}, {ending(row)}"
    return ending(row) or row.state


def _outline(graph: Graph, batch: Batch, *, ahead: bool) -> list[Line]:
    """All flows beyond the batch, its extracts and bottles, each once."""
    found: dict[Edge, Line] = {}
    for node in [one for one in graph.names if one.id == batch.id]:
        for line in forwards(graph, node) if ahead else backwards(graph, node):
            found.setdefault(line.edge, line)
    return list(found.values())
