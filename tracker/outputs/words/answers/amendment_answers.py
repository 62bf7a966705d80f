"""What is answered when an earlier entry was corrected or struck, and when the maker goes away."""

from collections.abc import Sequence

from tracker.core.facts.amendments import Amendment, Away, Corrected, Labelled, SameAs, Struck
from tracker.core.facts.entry import Entry
from tracker.core.facts.ties import HOUSE
from tracker.core.rules.recorded import DueWhileAway, Recorded
from tracker.core.rules.undoing import is_undo
from tracker.core.values.command_words import command
from tracker.core.values.day_words import Present
from tracker.core.values.kind_words import kind_said
from tracker.core.values.text import shown
from tracker.outputs.words.answers.field_values import changes_said
from tracker.outputs.words.answers.scene import Scene
from tracker.outputs.words.due.due_lines import why_due
from tracker.outputs.words.due.due_names import DueItem, with_names
from tracker.outputs.words.fact_lines import entry_said
from tracker.outputs.words.flows import NO_NAMES

# So many numbers can be typed once more.
_MOST_NUMBERS = 12


def book_lines(scene: Scene, fact: Corrected | Struck | SameAs | Away) -> list[str]:
    """What an entry said before and says now, or that it counts no more; how long one is away."""
    recorded = scene.recorded
    match fact:
        case Corrected():
            return [corrected_line(recorded, scene.entry.id, scene.present)]
        case Struck():
            return [*_struck(scene, fact), *_brought_back_by(scene, fact)]
        case SameAs():
            return [
                f"Stands: {_entry_text(scene, fact.stands)}.",
                f"The same: {_entry_text(scene, fact.event)}.",
            ]
        case Away():
            return _away(scene, fact)


def corrected_line(recorded: Recorded, amendment: str, present: Present) -> str:
    """`389 CAOF-25-01 pressed: volume 1405 ml → 1450 ml.`; the event, and what is different."""
    was, now = recorded.roots[amendment]
    root = now or was
    if root is None:
        return "It corrects what is not in the book."
    if was is None or now is None:
        return f"{_line_said(recorded, root)} is struck, and counts for nothing."
    changed = "; ".join(changes_said(was, now, present)) or "as it was"
    return f"{_line_said(recorded, was)}: {changed}."


def _line_said(recorded: Recorded, entry: Entry) -> str:
    """`389 CAOF-25-01 pressed`."""
    number = recorded.names.get(entry.id)
    subject = "" if entry.subject == HOUSE else f"{entry.subject} "
    return f"{f'{number} ' if number else ''}{subject}{kind_said(entry.kind)}"


def _struck(scene: Scene, fact: Struck) -> list[str]:
    """What a strike took out; where that was a correction or a strike, what stands again."""
    recorded, strike = scene.recorded, scene.entry.id
    word = "Undone" if is_undo(fact) else "Struck"
    lines = [f"{word}: {_entry_text(scene, fact.event)}{_by_another(scene, fact.event)}."]
    was, now = recorded.roots[strike]
    if now is None or now == was:
        return lines
    if was is None:
        return [
            *lines,
            f"It counts again: {_on_its_day(scene, now, entry_said(now, plant=scene.plant(now)))}.",
        ]
    return [*lines, corrected_line(recorded, strike, scene.present)]


def _brought_back_by(scene: Scene, fact: Struck) -> list[str]:
    """How an undo is taken back, said once for all of it."""
    recorded = scene.recorded
    if not is_undo(fact) or scene.entry is not recorded.entries[-1]:
        return []
    numbers = [recorded.names[one.id] for one in recorded.entries]
    it = "it" if len(numbers) == 1 else "them"
    if len(numbers) > _MOST_NUMBERS:
        return [f"`{command('strike', numbers[0])}` and so on to {numbers[-1]} brings {it} back."]
    return [f"`{command('strike', *numbers)}` brings {it} back."]


def meanwhile_lines(recorded: Recorded, present: Present) -> list[str]:
    """What was printed, given out or decided on a value before it was corrected."""
    if not recorded.meanwhile:
        return []
    return [
        "Done on what it said before; look at each again:",
        *(
            f"  {present.said(one.when)}  {recorded.names[one.id]}  {_done_said(one)}"
            for one in recorded.meanwhile
        ),
    ]


def _done_said(entry: Entry) -> str:
    """What was done, in words; what a label said is printed already."""
    if isinstance(entry.fact, Labelled):
        return f"{entry.subject} label printed"
    return entry_said(entry)


def _away(scene: Scene, fact: Away) -> list[str]:
    """That reminders rest, how to take it back, and what will happen meanwhile."""
    more = scene.recorded.more.get(scene.entry.id)
    due: Sequence[DueItem] = ()
    if isinstance(more, DueWhileAway):
        due = with_names(more.lines, more.shelf, scene.practice.names)
    return [
        f"Away {scene.day(fact.first)} through {scene.day(fact.last)}: no reminders. "
        f"`{command('strike', scene.recorded.names[scene.entry.id])}` takes it back.",
        *(f"{one.name}, {one.line.code}: {why_due(one.line, fact.first)}." for one in due),
    ]


def _entry_text(scene: Scene, event: str) -> str:
    """An entry in words; of an amendment, with the number of what it amends."""
    recorded = scene.recorded
    entry = recorded.amended.get(event)
    if entry is None:
        return event
    if isinstance(entry.fact, Labelled):
        return _on_its_day(scene, entry, _done_said(entry))
    is_amendment = isinstance(entry.fact, Amendment)
    return _on_its_day(
        scene,
        entry,
        entry_said(entry, recorded.names if is_amendment else NO_NAMES, scene.plant(entry)),
    )


def _by_another(scene: Scene, event: str) -> str:
    """Who recorded it, where that is not who takes it back."""
    entry = scene.recorded.amended.get(event)
    if entry is None or entry.fact.by in (None, scene.entry.fact.by):
        return ""
    return f", recorded by {shown(entry.fact.by)}"


def _on_its_day(scene: Scene, entry: Entry, text: str) -> str:
    return f"{text} ({scene.day(entry.when)})"
