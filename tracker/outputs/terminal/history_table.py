"""Every event about one thing, amendments beside what they amend: `history`."""

from collections.abc import Mapping, Sequence
from datetime import tzinfo

from tracker.core.facts.amendments import Corrected, SameAs, Struck
from tracker.core.facts.entry import Entry
from tracker.core.facts.jars import Shaken
from tracker.core.replay.in_force import in_force, with_values
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
    lines = [styled(f"History of {shown(code)}, {len(entries)} events", "bold", colour=colour)]
    alive = in_force(entries)
    for one in events_of(entries, names, late):
        entry = one.entry
        what = said(entry.fact, names) + past_date(one.days_late)
        text = shown(f"{entry.when}  {one.number}  {_subject(entry, code)}  {what}")
        recorded = f"{entry.recorded.astimezone(zone):%Y-%m-%d %H:%M}"
        who = f"by {one.by}, " if one.by else ""
        by = shown(f"            {who}recorded {recorded}")
        lines.append(styled(text, "faint" if one.struck_by else "", colour=colour))
        lines.append(styled(by, "faint", colour=colour))
        now = entry
        for amending in one.amending:
            told, now = _amendment(now, amending, names, is_in_force=amending.id in alive)
            lines += [f"            {shown(line)}" for line in told]
    return lines


def _amendment(
    entry: Entry, amendment: Entry, names: Mapping[str, str], *, is_in_force: bool
) -> tuple[list[str], Entry]:
    """A strike or correction, and the entry with it: each goes on from what the last one said."""
    fact, by = amendment.fact, names[amendment.id]
    gone = "" if is_in_force else ", which was struck"
    if isinstance(fact, Struck):
        return [f"STRUCK by {by}{gone}: {fact.why}"], entry
    if isinstance(fact, SameAs):
        return [f"COUNTS AS {names.get(fact.stands, fact.stands)}, says {by}{gone}"], entry
    assert isinstance(fact, Corrected)
    if not is_in_force:
        return [f"CORRECTED by {by}{gone}: {fact.why}"], entry
    try:
        after = with_values(entry, fact.set)
    except ValueError as reason:
        return [f"correction {by} means nothing: {reason}"], entry
    who = f"; by {after.fact.by}" if after.fact.by != entry.fact.by else ""
    now = f"{after.when}  {after.subject}  {said(after.fact)}{who}"
    return [f"CORRECTED by {by}: {fact.why}", f"  now: {now}"], after


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
