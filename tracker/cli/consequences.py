"""What was done on a wrong value before it was mended: said by `correct` and `strike`."""

from tracker.cli.desk import Desk
from tracker.cli.sheet import Sheet
from tracker.core.facts.amendments import Corrected, Struck
from tracker.core.facts.entry import Entry
from tracker.core.reckoning.flow_graph import graph_of
from tracker.core.reckoning.recall import flowing_out
from tracker.core.rules.consequences import reach
from tracker.outputs.view.answers import day
from tracker.outputs.words.fact_lines import number, said


def root_of(desk: Desk, entry: Entry) -> Entry:
    """The event that an amendment, or an amendment of one, is about in the end."""
    seen = {entry.id}
    while isinstance(entry.fact, Corrected | Struck) and entry.fact.event not in seen:
        seen.add(entry.fact.event)
        entry = desk.bench.entry(entry.fact.event)
    return entry


def tell_reach(sheet: Sheet, mended: Entry, root: Entry) -> None:
    """Name what was printed, given out or decided since `mended` was written down.

    Args:
        sheet: where it is said, and what --json answers.
        mended: the event that is corrected or struck.
        root: the event whose value that changes.
    """
    bench = sheet.desk.bench
    graph = graph_of(bench.batches(), bench.lots())
    entries = bench.kin_of({*root.jars, *flowing_out(graph, root.jars)})
    every = {one.id: one for own in entries.values() for one in own}
    found = reach(root, every.values(), sheet.now, mended.recorded)
    sheet.more["meanwhile"] = [
        {
            "id": one.id,
            "kind": one.kind,
            "code": one.subject,
            "on": day(one.when),
            "recorded": one.recorded,
            "said": said(one.fact),
        }
        for one in found
    ]
    if found:
        sheet.tell(lambda: "Done on what it said before; look at each again:")
    for one in found:
        line = f"  {one.when}  {number(one.id)}  {one.subject}  {said(one.fact)}"
        sheet.tell(lambda line=line: line)  # type: ignore[misc]  # bound now, not at the end
