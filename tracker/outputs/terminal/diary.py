"""What was recorded lately, command by command: `history` of the whole book."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime, tzinfo
from itertools import groupby

import msgspec

from tracker.core.facts.amendments import Amendment, Labelled
from tracker.core.facts.entry import Entry
from tracker.core.facts.jars import Charged, Shaken
from tracker.core.facts.ties import HOUSE
from tracker.core.values.day_words import short_day, short_when
from tracker.core.values.text import shown
from tracker.outputs.terminal.table import styled, width
from tracker.outputs.terminal.wrapping import hanging, together
from tracker.outputs.words.fact_lines import charge_said, said
from tracker.outputs.words.things_said import things_said


class Command(msgspec.Struct, frozen=True):
    """What one command recorded, all at one moment."""

    recorded: datetime
    entries: tuple[Entry, ...]


class Words(msgspec.Struct, frozen=True):
    """What entries are called by their ids, with the codes of what they take from; and plants.

    `plants`: what is in each jar or blend, by its id.
    """

    numbers: Mapping[str, str] = {}
    plants: Mapping[str, str] = {}


_NO_WORDS = Words()


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
    words: Words,
    zone: tzinfo,
    *,
    total: int = 80,
    colour: bool = False,
) -> list[str]:
    """Each command: its time below its day, the number of its line, what it said and who."""
    names = words.numbers
    lines: list[str] = []
    numbers = max((width(shown(names[one.entries[0].id])) for one in commands), default=0)
    day = None
    for one in commands:
        local = one.recorded.astimezone(zone)
        if local.date() != day:
            lines.append(styled(short_day(local.date()), "bold", colour=colour))
        day = local.date()
        head = f"  {local:%H:%M}  {shown(names[one.entries[0].id]):>{numbers}}  "
        lines += hanging(head, shown(_said(one, words, day)), total)
    return lines


def _said(one: Command, words: Words, day: date) -> str:
    """Of what, what happened, when it was another day, and who did it."""
    first = one.entries[0]
    alike = [entry for entry in one.entries if _is_alike(entry, first)]
    what, many = _what(first, words), len(one.entries) - len(alike)
    more = f", and {many} more {'line' if many == 1 else 'lines'}" if many else ""
    happened = "" if first.when.is_exact and first.when.earliest == day else _on(first, day)
    by = together(f" · by {first.fact.by}").replace("\u00a0", " ", 1) if first.fact.by else ""
    things = things_said(
        [each for entry in alike for each in _things(entry, words)],
        is_everyday=isinstance(first.fact, Shaken),
    )
    return f"{things} {what}{happened}{more}{by}".lstrip()


def _is_alike(entry: Entry, first: Entry) -> bool:
    """Whether it says the same of another thing: labels of a sheet, twelve jars of a charge."""
    return entry is first or (
        entry.when == first.when
        and type(entry.fact) is type(first.fact)
        and not isinstance(first.fact, Amendment)
        and _what(entry, _NO_WORDS) == _what(first, _NO_WORDS)
    )


def _things(entry: Entry, words: Words) -> list[tuple[str, str]]:
    """The plants and codes that it is about."""
    if entry.subject == HOUSE:
        return []
    codes = entry.subject.split(" ") if isinstance(entry.fact, Shaken) else [entry.subject]
    if len(codes) != len(entry.jars):
        return [("", entry.subject)]
    return [(words.plants.get(jar, ""), code) for jar, code in zip(entry.jars, codes, strict=True)]


def _what(entry: Entry, words: Words) -> str:
    """What happened, where what it is about is said beside it."""
    fact = entry.fact
    match fact:
        case Charged():
            return charge_said(fact)
        case Shaken():
            return f"shaken – {fact.note}" if fact.note else "shaken"
        case Labelled():  # all that stands on it is in the history of the thing
            return f"labelled on {fact.sheet or 'paper'}"
        case _:
            return said(fact, words.numbers)


def _on(entry: Entry, day: date) -> str:
    return " " + together(f"({short_when(entry.when, day.year)})")
