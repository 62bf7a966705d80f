"""The batch record of a jar with all its extracts and bottles, put together."""

from collections.abc import Sequence
from datetime import date, datetime

from tracker.core.facts.entry import Entry
from tracker.core.reckoning.flow_graph import Edge, Graph, Line, backwards, forwards
from tracker.core.replay.families import each_once
from tracker.core.replay.in_force import settle
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Thing
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
from tracker.outputs.words.plant_names import herb_name


def batch_record(
    code: str,
    jar: Jar | None,
    entries: Sequence[Entry],
    around: Around,
    book: Book,
    now: datetime,
) -> Record:
    """The batch record of one jar with all its extracts and bottles.

    Args:
        code: what it goes by.
        jar: the batch; None where nothing in force opens it, and only its lines are left.
        entries: every line about it.
        around: lots and flows.
        book: what the record was taken from.
        now: the present, aware.
    """
    steps = tuple(steps_of(entries))
    by_id = {one.id: one for one in entries}
    in_force = [one for one in settle(each_once(list(entries))[0]).entries if _is_own(one, jar)]
    back = [] if jar is None else _outline(around.graph, jar, ahead=False)
    ahead = [] if jar is None else _outline(around.graph, jar, ahead=True)
    return Record(
        code=code,
        what="not in force: what opened it was struck" if jar is None else herb_name(jar),
        state="taken out" if jar is None else _state(jar, now.date()),
        made=now,
        book=book,
        batch={} if jar is None else about(whole(jar), now.date()),
        components=tuple(components_of(in_force, around.lots)),
        parts=() if jar is None else tuple(parts_of(jar, around)),
        yields=() if jar is None else tuple(yields_of(jar, now.date())),
        lots=tuple(lots_of(back, around)),
        given=tuple(given_of(ahead, around.graph)),
        holds=tuple(one for one in steps if is_hold(by_id[one.id])),
        labels=tuple(one for one in steps if one.kind == "labelled"),
        steps=steps,
        flags=() if jar is None else tuple(flag.why for flag in jar.flags),
    )


def _is_own(entry: Entry, jar: Jar | None) -> bool:
    return jar is not None and jar.id in entry.jars


def whole(jar: Jar) -> Thing:
    """The thing whose make-up is the batch's: a jar, or a blend's extract."""
    if jar.opened != "blended" or not jar.extracts:
        return Thing(jar.code, jar)
    return Thing(jar.code, jar, jar.extracts[0])


def _state(jar: Jar, today: date) -> str:
    stands = state(whole(jar), today)
    over = "" if jar.is_macerating else ending(jar)
    text = over if over.startswith(stands) else ", ".join(filter(None, (stands, over)))
    return f"{text}{', ON HOLD' if jar.on_hold else ''}"


def _outline(graph: Graph, jar: Jar, *, ahead: bool) -> list[Line]:
    """All flows beyond the jar, its extracts and bottles, each once."""
    found: dict[Edge, Line] = {}
    for node in [one for one in graph.names if one.id == jar.id]:
        for line in forwards(graph, node) if ahead else backwards(graph, node):
            found.setdefault(line.edge, line)
    return list(found.values())
