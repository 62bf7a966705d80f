"""What was recorded lately, command by command: `history` of the whole book."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime, tzinfo
from itertools import groupby

import msgspec

from tracker.core.facts.amendments import Labelled
from tracker.core.facts.entry import Entry
from tracker.core.facts.jars import Shaken
from tracker.core.facts.ties import HOUSE
from tracker.core.values.text import shown
from tracker.outputs.terminal.table import styled, width
from tracker.outputs.terminal.wrapping import hanging, together
from tracker.outputs.words.fact_lines import said
from tracker.outputs.words.short_days import short_day, short_when


class Command(msgspec.Struct, frozen=True):
    """What one command recorded, all at one moment."""

    recorded: datetime
    entries: tuple[Entry, ...]


def commands_of(entries: Sequence[Entry]) -> list[Command]:
    """The entries by the command that recorded them, the last one last."""
    ordered = sorted(entries, key=lambda one: (one.recorded, one.source, one.sequence))
    groups = groupby(ordered, key=lambda one: (one.recorded, one.source))
    return [Command(recorded, tuple(own)) for (recorded, _), own in groups]


def on_day(commands: Sequence[Command], day: date, zone: tzinfo) -> list[Command]:
    """The commands of a day, and those that say afterwards what happened on it."""
    return [
        one
        for one in commands
        if one.recorded.astimezone(zone).date() == day
        or any(entry.when.is_exact and entry.when.earliest == day for entry in one.entries)
    ]


def diary(
    commands: Sequence[Command],
    names: Mapping[str, str],
    zone: tzinfo,
    *,
    total: int = 80,
    colour: bool = False,
) -> list[str]:
    """Each command: its time below its day, the number of its line, what it said and who."""
    lines: list[str] = []
    numbers = max((width(shown(names[one.entries[0].id])) for one in commands), default=0)
    day = None
    for one in commands:
        local = one.recorded.astimezone(zone)
        if local.date() != day:
            lines.append(styled(short_day(local.date()), "bold", colour=colour))
        day = local.date()
        head = f"  {local:%H:%M}  {shown(names[one.entries[0].id]):>{numbers}}  "
        lines += hanging(head, shown(_said(one, names, day)), total)
    return lines


def _said(one: Command, names: Mapping[str, str], day: date) -> str:
    first = one.entries[0]
    what = said(first.fact, names)
    if isinstance(first.fact, Shaken):
        what = f"shaken – {first.fact.note}" if first.fact.note else "shaken"
    if isinstance(first.fact, Labelled):  # all that stands on it is in the history of the thing
        what = f"labelled on {first.fact.sheet or 'paper'}"
    many = len(one.entries) - 1
    more = f", and {many} more {'line' if many == 1 else 'lines'}" if many else ""
    happened = "" if first.when.is_exact and first.when.earliest == day else _on(first, day)
    by = together(f" · by {first.fact.by}").replace("\u00a0", " ", 1) if first.fact.by else ""
    subject = "" if first.subject == HOUSE else f"{first.subject} "
    return f"{subject}{what}{happened}{more}{by}"


def _on(entry: Entry, day: date) -> str:
    return f" ({short_when(entry.when, day.year)})"
