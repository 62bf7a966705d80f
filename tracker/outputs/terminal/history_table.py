"""Every event about one thing, amendments beside what they amend: `history`."""

from collections.abc import Mapping, Sequence
from datetime import tzinfo

from tracker.core.facts.amendments import Corrected, SameAs, Struck
from tracker.core.facts.entry import Entry
from tracker.core.facts.jars import Shaken
from tracker.core.replay.in_force import with_values
from tracker.core.values.text import shown
from tracker.outputs.answer_fields import Answer
from tracker.outputs.terminal.table import styled
from tracker.outputs.view.history import EventView, events_of
from tracker.outputs.words.fact_lines import past_date, said


def history(
    entries: Sequence[Entry],
    code: str,
    zone: tzinfo,
    names: Mapping[str, str],
    late: Mapping[str, int],
    *,
    colour: bool,
) -> list[str]:
    """Every event about a thing: number, when it happened, what, who, when recorded.

    Args:
        entries: every line about it.
        code: what it goes by.
        zone: the maker's.
        names: what each of the entries is called, by its id.
        late: by the ids of those that used something past its date, by how many days.
        colour: whether the terminal shows any.
    """
    lines = [styled(f"History of {code}, {len(entries)} events", "bold", colour=colour)]
    for one in events_of(entries, names, late):
        entry = one.entry
        what = said(entry.fact, names) + past_date(one.days_late)
        text = shown(f"{entry.when}  {one.number}  {_subject(entry, code)}  {what}")
        recorded = f"{entry.recorded.astimezone(zone):%Y-%m-%d %H:%M}"
        by = shown(f"            by {one.by}, recorded {recorded}")
        lines.append(styled(text, "faint" if one.struck_by else "", colour=colour))
        lines.append(styled(by, "faint", colour=colour))
        for amending in one.amending:
            lines += [f"            {line}" for line in _amendment(entry, amending, names)]
    return lines


def _amendment(entry: Entry, amendment: Entry, names: Mapping[str, str]) -> list[str]:
    """A strike or correction beside what it replaced."""
    fact, by = amendment.fact, names[amendment.id]
    if isinstance(fact, Struck):
        return [shown(f"STRUCK by {by}: {fact.why}")]
    if isinstance(fact, SameAs):
        return [shown(f"COUNTS AS {names.get(fact.stands, fact.stands)}, says {by}")]
    assert isinstance(fact, Corrected)
    try:
        after = with_values(entry, fact.set)
    except ValueError as reason:
        return [shown(f"correction {by} means nothing: {reason}")]
    now = f"{after.when}  {after.subject}  {said(after.fact)}"
    return [shown(f"CORRECTED by {by}: {fact.why}"), shown(f"  now: {now}")]


def _subject(entry: Entry, code: str) -> str:
    """What an event was about; of a round of many jars, the one whose history it is."""
    return code if isinstance(entry.fact, Shaken) and " " in entry.subject else entry.subject


def history_fields(
    entries: Sequence[Entry], names: Mapping[str, str], late: Mapping[str, int]
) -> list[Answer]:
    """The history as fields, one object an event."""
    return [_fields(one, names) for one in events_of(entries, names, late)]


def _fields(one: EventView, names: Mapping[str, str]) -> Answer:
    entry = one.entry
    return {
        "id": entry.id,
        "number": one.number,
        "kind": entry.kind,
        "subject": entry.subject,
        "when": str(entry.when),
        "time": entry.when.start,
        "precision": entry.when.precision,
        "recorded": entry.recorded,
        "writer": entry.source,
        "by": entry.fact.by,
        "said": said(entry.fact, names),
        "days_past_date": one.days_late or None,
        "struck_by": list(one.struck_by),
        "corrected_by": list(one.corrected_by),
    }
