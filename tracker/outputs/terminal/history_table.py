"""Every event about one thing, amendments below what they amend: `history`."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from datetime import date, tzinfo

import msgspec

from tracker.core.facts.amendments import Amendment, Held, Labelled, Released
from tracker.core.facts.entry import Entry
from tracker.core.facts.jars import LookedAt, Shaken
from tracker.core.facts.lots import Recalled
from tracker.core.values.day_words import short_day, short_when
from tracker.core.values.text import shown
from tracker.outputs.answer_fields import Answer
from tracker.outputs.terminal.amended_lines import Amended, amended_among
from tracker.outputs.terminal.table import styled, width
from tracker.outputs.terminal.wrapping import together, wrapped
from tracker.outputs.view.history import EventView, Telling, events_of
from tracker.outputs.words.fact_lines import past_date, said
from tracker.outputs.words.short_days import short_span

_FOLDED = "…"


class Said(msgspec.Struct, frozen=True):
    """One line of a history: a number to correct it by, a day, what happened, and more below."""

    number: str
    when: str
    text: str
    beside: str = ""  # who and when, where that is another than is to be expected
    style: str = ""
    below: tuple[str, ...] = ()
    year: int | None = None


class Usual(msgspec.Struct, frozen=True):
    """Who did most of a history, and on which later day most of it was written down, if any."""

    by: str | None = None
    recorded: date | None = None

    def __str__(self) -> str:
        parts = [f"by {self.by}"] if self.by else []
        parts += [f"recorded {short_day(self.recorded)}"] if self.recorded else []
        return f"{', '.join(parts)}, unless a line says otherwise" if parts else ""


def history(
    entries: Sequence[Entry],
    code: str,
    telling: Telling,
    *,
    total: int = 80,
    colour: bool = False,
) -> list[str]:
    """Every event about a thing: number, when it happened, what.

    Who did it and when it was recorded stands behind it where it is not who is named at the head,
    or not the same day.

    Args:
        entries: every line about it.
        code: what it goes by.
        telling: how it is told.
        total: cells across the screen.
        colour: whether the terminal shows any.
    """
    events = events_of(entries, telling.names, telling.late)
    usual = _usual(events, telling.zone)
    rows = list(_rows(events, entries, code, telling, usual))
    head = wrapped(shown(text), total) if (text := str(usual)) else []
    by = [styled(one, "faint", colour=colour) for one in head]
    return by + lines_of(rows, total=total, colour=colour)


def lines_of(rows: Sequence[Said], *, total: int, colour: bool) -> list[str]:
    """Lines of events, each year named above those that happened in it."""
    numbers = max((width(shown(one.number)) for one in rows), default=0)
    days = max((width(shown(one.when)) for one in rows), default=0)
    indent = " " * (2 + numbers + 2 + days + 2)
    lines: list[str] = []
    year = None
    for one in rows:
        if one.year is not None and one.year != year:
            year = one.year
            lines.append(styled(f"{' ' * (numbers + 4)}{year:04d}", "faint", colour=colour))
        head = f"  {shown(one.number):>{numbers}}  {_padded(shown(one.when), days)}  "
        lines += _set(one, head, indent, total, colour=colour)
    return lines


def _padded(text: str, cells: int) -> str:
    return text + " " * (cells - width(text))


def _set(one: Said, head: str, indent: str, total: int, *, colour: bool) -> list[str]:
    room = total - len(indent)
    beside = shown(f"· {one.beside}") if one.beside else ""
    texts = wrapped(f"{shown(one.text)} {together(beside)}".rstrip(), room)
    style = one.style
    lines = []
    for place, text in enumerate(texts):
        is_last = place == len(texts) - 1
        if beside and is_last and text.endswith(beside):
            text = text.removesuffix(beside)
            tail = styled(beside, "faint", colour=colour)
        else:
            tail = ""
        lines.append((indent if place else head) + styled(text, style, colour=colour) + tail)
    for below in one.below:
        first, *rest = wrapped(shown(below), room - 2)
        lines += [f"{indent}  {text}" for text in (first, *rest)]
    return lines


def _usual(events: Sequence[EventView], zone: tzinfo) -> Usual:
    """Who did most of it, and the day it was written down where that was one for most of it."""
    if not events:
        return Usual()
    by, _ = Counter(one.by for one in events).most_common(1)[0]
    later = Counter(day for one in events if (day := _recorded_later(one.entry, zone)))
    day, count = later.most_common(1)[0] if later else (None, 0)
    return Usual(by, day if count > len(events) / 2 else None)


def _recorded_later(entry: Entry, zone: tzinfo) -> date | None:
    """The day it was written down, where that is another than the day it happened."""
    day = entry.recorded.astimezone(zone).date()
    return None if entry.when.is_exact and day == entry.when.earliest else day


def _rows(
    events: Sequence[EventView],
    entries: Sequence[Entry],
    code: str,
    telling: Telling,
    usual: Usual,
) -> Iterator[Said]:
    amended, ids = amended_among(entries, telling), {one.id for one in entries}
    run: list[EventView] = []
    for one in events:
        if _is_below(one.entry, ids):
            continue
        if run and not _goes_on(run[-1], one):
            yield from _run(run, code, telling, usual, amended)
            run = []
        if telling.is_folded and _folds(one):
            run.append(one)
        else:
            yield _row(one, code, telling, usual, amended)
    yield from _run(run, code, telling, usual, amended)


def _is_below(entry: Entry, ids: set[str]) -> bool:
    """Whether it is said below what it amends."""
    return isinstance(entry.fact, Amendment) and entry.fact.event in ids


def _folds(one: EventView) -> bool:
    """Whether it says no more than that it was done once more."""
    fact = one.entry.fact
    return isinstance(fact, Shaken | Labelled) and not fact.note and not one.amending


def _goes_on(before: EventView, one: EventView) -> bool:
    return _folds(one) and one.entry.kind == before.entry.kind


def _run(
    run: Sequence[EventView], code: str, telling: Telling, usual: Usual, amended: Amended
) -> Iterator[Said]:
    if not run:
        return
    first, last = run[0].entry, run[-1].entry
    year = _year(first)
    if isinstance(first.fact, Labelled):
        count = sum(one.entry.fact.copies for one in run if isinstance(one.entry.fact, Labelled))
        text = f"{count} labels printed" if count > 1 else "label printed"
    elif len(run) == 1:
        yield _row(run[0], code, telling, usual, amended)
        return
    else:
        text = f"{len(run)} shakes"
    when, number = short_when(first.when, year, telling.hemisphere), run[0].number
    if len(run) > 1:
        number = _FOLDED
        text += f", {short_span(first.when, last.when, year, telling.hemisphere)}"
    yield Said(number, when, _of(first, code) + text, style="faint", year=year)


def _row(one: EventView, code: str, telling: Telling, usual: Usual, amended: Amended) -> Said:
    entry, names = one.entry, telling.names
    below, _ = amended.below(entry)
    year = _year(entry)
    return Said(
        one.number,
        short_when(entry.when, year, telling.hemisphere),
        _of(entry, code) + _what(entry, names) + past_date(one.days_late),
        _beside(one, telling.zone, usual),
        "faint" if one.struck_by else _style(entry),
        tuple(below),
        year,
    )


def _what(entry: Entry, names: Mapping[str, str]) -> str:
    """What happened; that others were shaken along with it is no news of this one."""
    fact = entry.fact
    if isinstance(fact, Shaken):
        return f"shaken – {fact.note}" if fact.note else "shaken"
    return said(fact, names)


def _year(entry: Entry) -> int | None:
    return entry.when.start.year if entry.when.precision in ("time", "day", "unknown") else None


def _style(entry: Entry) -> str:
    fact = entry.fact
    if isinstance(fact, Recalled):
        return "bad"
    if isinstance(fact, Held) or (isinstance(fact, LookedAt) and fact.verdict == "hold"):
        return "warn"
    return "good" if isinstance(fact, Released) else ""


def _of(entry: Entry, code: str) -> str:
    """`A/2: ` before what is about a part of a jar; nothing before what is about all of it."""
    subject = entry.subject
    if subject == code or (isinstance(entry.fact, Shaken) and " " in subject):
        return ""
    part = subject.removeprefix(code)
    return f"{part or subject}: " if part != subject else f"{subject}: "


def _beside(one: EventView, zone: tzinfo, usual: Usual) -> str:
    """`by Ines, recorded 3 Mar`, as far as it is not what is to be expected."""
    entry = one.entry
    later = _recorded_later(entry, zone)
    if usual.recorded is None:
        day = later
    else:
        own = entry.recorded.astimezone(zone).date()
        day = own if own != usual.recorded else None
    who = "" if one.by == usual.by else f"by {one.by}" if one.by else "nobody is named"
    recorded = f"recorded {short_day(day, _year(entry))}" if day else ""
    return ", ".join(part for part in (who, recorded) if part)


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
        "when": entry.when.iso,
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
