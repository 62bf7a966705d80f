"""The lines of a batch, each as it was written and as it is now."""

from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from datetime import datetime

from tracker.core.facts.amendments import Amendment, Corrected
from tracker.core.facts.entry import Entry
from tracker.core.facts.jars import LookedAt
from tracker.core.facts.kinds import traits_of
from tracker.core.replay.families import each_once
from tracker.core.replay.in_force import amendments, in_force, settle, with_values
from tracker.core.values.times import When
from tracker.outputs.records.batch_parts import Amended, Step
from tracker.outputs.words.answers.field_values import changes_said
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
            amended=tuple(_amendments(entry, now, amended, alive, names)),
            at=hour_of(entry.when),
        )


def hour_of(when: When) -> datetime | None:
    """When exactly something happened; None where no hour is known."""
    return when.start if when.precision == "time" else None


def _reading(entry: Entry, names: Mapping[str, str]) -> str:
    return f"{entry.when}  {entry.subject}  {said(entry.fact, names)}"


def _amendments(
    entry: Entry,
    now: Entry | None,
    amended: Mapping[str, Sequence[Entry]],
    alive: set[str],
    names: Mapping[str, str],
) -> Iterable[Amended]:
    """What was said of a line later, each correction with what it changed of the one before."""
    amending = amended.get(entry.id, ())
    standing = [one for one in amending if one.id in alive and isinstance(one.fact, Corrected)]
    # Where a correction was itself corrected, the last one stands for what all of them changed.
    is_plain = not any(other.id in alive for one in standing for other in amended.get(one.id, ()))
    changed: dict[str, tuple[str, ...]] = {}
    if is_plain:
        changed = dict(_changes(entry, standing))
    elif now is not None:
        changed = {standing[-1].id: tuple(changes_said(entry, now))}
    for one in amending:
        yield _amended(one, changed.get(one.id, ()), names, in_force=one.id in alive)


def _changes(entry: Entry, standing: Iterable[Entry]) -> Iterable[tuple[str, tuple[str, ...]]]:
    """What each of these corrections changed of what the ones before it had left, by its id."""
    for one in standing:
        assert isinstance(one.fact, Corrected)
        with suppress(ValueError):  # what it sets means nothing: it changed nothing
            after = with_values(entry, one.fact.set)
            yield one.id, tuple(changes_said(entry, after))
            entry = after


def _amended(
    one: Entry, changed: tuple[str, ...], names: Mapping[str, str], *, in_force: bool
) -> Amended:
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
        in_force=in_force,
        changed=changed,
    )


def is_hold(entry: Entry) -> bool:
    """Whether a line holds, releases or recalls something."""
    fact = entry.fact
    if isinstance(fact, LookedAt):
        return fact.verdict == "hold"
    return traits_of(fact).hold in ("set", "lifted")
