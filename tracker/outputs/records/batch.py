"""The batch record of a jar with all its extracts and bottles, put together."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime

from msgspec.structs import replace

from tracker.core.facts.entry import Entry
from tracker.core.reckoning.cautions import Caution, cautions
from tracker.core.reckoning.flows.flow_graph import Edge, Graph, Line, backwards, forwards
from tracker.core.reckoning.keeps import days_late_of
from tracker.core.replay.families import each_once
from tracker.core.replay.in_force import settle
from tracker.core.shelf.thing import Batch, things, whole
from tracker.core.values.day_words import short_day
from tracker.outputs.answer_fields import thing_fields
from tracker.outputs.records.batch_flows import (
    Around,
    components_of,
    given_of,
    lots_of,
    parts_of,
)
from tracker.outputs.records.batch_heed import heed_of
from tracker.outputs.records.batch_lines import is_hold, steps_of
from tracker.outputs.records.batch_parts import Book, Record
from tracker.outputs.records.batch_yields import yields_of
from tracker.outputs.view.heeds import heeds_in
from tracker.outputs.view.liquid import BottleView
from tracker.outputs.view.thing_view import RowView, ThingView, view_of
from tracker.outputs.words.caution_words import caution_lines, caution_text
from tracker.outputs.words.flags import flag_text
from tracker.outputs.words.holds import held_since
from tracker.outputs.words.plant_names import called, herbs_named
from tracker.outputs.words.short_days import when_in_full
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
    in_force = settle(each_once([*entries, *around.elsewhere])[0]).entries
    back = [] if batch is None else _outline(around.graph, batch, ahead=False)
    ahead = [] if batch is None else _outline(around.graph, batch, ahead=True)
    of_batch = Record(
        code=code,
        what="does not count: what began it was struck",
        state="taken out",
        hold=None,
        made=now,
        book=book,
        batch={},
        cautions=(),
        components=tuple(
            components_of([one for one in in_force if _is_own(one, batch)], around.lots)
        ),
        parts=() if batch is None else tuple(parts_of(batch, around, today)),
        yields=(),
        lots=tuple(lots_of(back, around)),
        given=tuple(given_of(ahead, around.graph, in_force, names)),
        holds=tuple(one for one in steps if is_hold(by_id[one.id])),
        labels=tuple(one for one in steps if one.kind == "labelled"),
        steps=steps,
        flags=(),
    )
    return of_batch if batch is None else _standing(of_batch, batch, around, today)


def _standing(record: Record, batch: Batch, around: Around, today: date) -> Record:
    """A record with how its batch stands, what it is made of, and what to heed of it."""
    view = view_of(whole(batch), around.practice, today, flags=around.not_held)
    found = _cautions(batch)
    view = replace(view, cautions=tuple(found))
    row = view.row
    return replace(
        record,
        what=" + ".join(herbs_named([one]) for one in row.herbs),
        state=_state(row),
        hold=None if row.hold is None else held_since(row.hold),
        batch=thing_fields(view),
        cautions=tuple(caution_lines(found, sources=True)),
        yields=tuple(yields_of(batch, view)),
        flags=tuple(flag_text(flag) for flag in view.flags),
        name=called(row.herbs, "common"),
        latin=tuple(dict.fromkeys(one.herb for one in row.herbs)),
        heed=tuple(heed_of(heeds_in(view))),
        days=tuple(_days(view)),
        grave=tuple(caution_text(one, sources=True) for one in found if one.is_grave),
    )


def _cautions(batch: Batch) -> list[Caution]:
    """Those of all that there is of a batch: a bottle may have been refilled with another herb."""
    every = (one for thing in (whole(batch), *things(batch)) for one in cautions(batch, thing.made))
    return sorted(dict.fromkeys(every), key=lambda one: not one.is_grave)


def _days(view: ThingView) -> Iterator[str]:
    """When it was charged, what became of it, and till when it is good."""
    row = view.row
    if row.charged is not None:
        yield f"charged {when_in_full(row.charged)}{', a guess' * row.charge_guessed}"
    if ended := ending(row):
        yield ended
    lasts = {one.good_through for one in view.extracts}
    if len(lasts) > 1:
        yield "good through: see each extract"
    elif lasts:
        (last,) = lasts
        others = {one.good_through for one in _bottles_left(view)} - lasts
        yield (
            f"good through {'not known' if last is None else short_day(last)}"
            f"{'; some bottles have a day of their own' if others else ''}"
        )


def _bottles_left(view: ThingView) -> Iterator[BottleView]:
    bottles = (bottle for one in view.extracts for bottle in one.bottles)
    return (one for one in bottles if one.state in ("in stock", "expired"))


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
