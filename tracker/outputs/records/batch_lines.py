"""The lines of a batch, each as it was written and as it is now."""

from collections.abc import Iterable, Mapping, Sequence

from tracker.core.facts.amendments import Amendment
from tracker.core.facts.entry import Entry
from tracker.core.facts.jars import LookedAt
from tracker.core.facts.kinds import traits_of
from tracker.core.replay.families import each_once
from tracker.core.replay.in_force import amendments, in_force, settle
from tracker.outputs.records.batch_parts import Amended, Step
from tracker.outputs.words.fact_lines import past_date, said


def steps_of(
    entries: Sequence[Entry], names: Mapping[str, str], late: Mapping[str, int]
) -> Iterable[Step]:
    """Every line, with what it says now and what amended it later.

    `late` are those that used something past its date, and by how many days.
    """
    amended = amendments(entries)
    settled = {one.id: one for one in settle(each_once(list(entries))[0]).entries}
    alive = in_force(entries)
    for entry in entries:
        is_amendment = isinstance(entry.fact, Amendment)
        now = settled.get(entry.id)
        read, reads = _reading(entry, names), None if now is None else _reading(now, names)
        if now is not None and now.fact.by != entry.fact.by:
            reads = f"{reads}; by {now.fact.by}"
        yield Step(
            id=entry.id,
            number=names[entry.id],
            kind=entry.kind,
            code=entry.subject,
            when=entry.when.iso,
            recorded=entry.recorded,
            by=entry.fact.by,
            writer=entry.source,
            said=said(entry.fact, names) + past_date(late.get(entry.id, 0)),
            in_force=entry.id in alive if is_amendment else now is not None,
            now=reads if reads != read else None,
            amended=tuple(_amended(one, alive, names) for one in amended.get(entry.id, ())),
        )


def _reading(entry: Entry, names: Mapping[str, str]) -> str:
    return f"{entry.when}  {entry.subject}  {said(entry.fact, names)}"


def _amended(one: Entry, alive: set[str], names: Mapping[str, str]) -> Amended:
    fact = one.fact
    assert isinstance(fact, Amendment)
    return Amended(
        id=one.id,
        number=names[one.id],
        kind=one.kind,
        recorded=one.recorded,
        by=fact.by,
        why=fact.why,
        said=said(fact, names),
        in_force=one.id in alive,
    )


def is_hold(entry: Entry) -> bool:
    """Whether a line holds, releases or recalls something."""
    fact = entry.fact
    if isinstance(fact, LookedAt):
        return fact.verdict == "hold"
    return traits_of(fact).hold in ("set", "lifted")
