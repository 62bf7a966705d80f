"""What is answered when an earlier entry was corrected or struck, and when the maker goes away."""

from collections.abc import Sequence

import msgspec

from tracker.core.facts.amendments import Amendment, Away, Corrected, SameAs, Struck
from tracker.core.facts.entry import Entry
from tracker.core.rules.recorded import DueWhileAway, Recorded
from tracker.core.values.command_words import command
from tracker.outputs.words.answers.scene import Scene
from tracker.outputs.words.due_lines import why_due
from tracker.outputs.words.due_names import DueItem, with_names
from tracker.outputs.words.fact_lines import said, value_said


def amendment_lines(scene: Scene, fact: Corrected | Struck | SameAs) -> list[str]:
    """What an entry said before and says now, or that it counts no more."""
    recorded = scene.recorded
    match fact:
        case Corrected():
            was, now = recorded.roots[scene.entry.id]
            lines = [_reading("Was", was), _reading("Now", now)]
            return [*lines, *_unsaid(was, now)]
        case Struck():
            return [f"Struck: {_entry_text(recorded, fact.event)}."]
        case SameAs():
            return [
                f"Stands: {_entry_text(recorded, fact.stands)}.",
                f"The same: {_entry_text(recorded, fact.event)}.",
            ]


def meanwhile_lines(recorded: Recorded) -> list[str]:
    """What was printed, given out or decided on a value before it was corrected."""
    if not recorded.meanwhile:
        return []
    return [
        "Done on what it said before; look at each again:",
        *(
            f"  {one.when}  {recorded.names[one.id]}  {one.subject}  {said(one.fact)}"
            for one in recorded.meanwhile
        ),
    ]


def away_lines(scene: Scene, fact: Away) -> list[str]:
    """That reminders rest, how to take it back, and what will happen meanwhile."""
    more = scene.recorded.more.get(scene.entry.id)
    due: Sequence[DueItem] = ()
    if isinstance(more, DueWhileAway):
        due = with_names(more.lines, more.shelf, scene.practice.names)
    return [
        f"Away {fact.first} through {fact.last}: no reminders. "
        f"`{command('strike', scene.recorded.names[scene.entry.id])}` takes it back.",
        *(f"{one.name}, {one.line.code}: {why_due(one.line, fact.first)}." for one in due),
    ]


def _reading(name: str, entry: Entry | None) -> str:
    if entry is None:
        return f"{name}: struck, and counts for nothing."
    return f"{name}: {entry.when} {entry.subject} {said(entry.fact)}."


def _unsaid(was: Entry | None, now: Entry | None) -> list[str]:
    """Fields that were corrected and that a line of the history leaves out."""
    if was is None or now is None or _reading("", was) != _reading("", now):
        return []
    before, after = (msgspec.to_builtins(one.fact) for one in (was, now))
    return [
        f"Now {name.replace('_', ' ')}: {value_said(name, after.get(name))}; "
        f"it was {value_said(name, before.get(name))}."
        for name in after
        if after.get(name) != before.get(name)
    ]


def _entry_text(recorded: Recorded, event: str) -> str:
    """An entry in words; of an amendment, with the number of what it amends."""
    entry = recorded.amended.get(event)
    if entry is None:
        return event
    fact = entry.fact
    text = said(fact, recorded.names) if isinstance(fact, Amendment) else said(fact)
    return f"{entry.when} {entry.subject} {text}"
