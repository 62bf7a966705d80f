"""A jar's history in as few lines as say it all: rounds of shaking drawn together."""

from collections.abc import Iterator, Mapping, Sequence

import msgspec

from tracker.core.facts.entry import Entry
from tracker.core.facts.jars import Shaken
from tracker.core.values.times import When
from tracker.outputs.view.history import EventView, events_of
from tracker.outputs.words.fact_lines import past_date, said


class HistoryLine(msgspec.Struct, frozen=True):
    """One line of a history; `mark` says if it no longer counts as written.

    Attributes:
        last: the last of several days that are one line; None of one day.
    """

    when: When
    last: When | None
    said: str
    by: str
    number: str = ""
    mark: str = ""


def history_lines(
    entries: Sequence[Entry], names: Mapping[str, str], late: Mapping[str, int]
) -> tuple[HistoryLine, ...]:
    """The history, with shakes that follow each other in one line."""
    return tuple(_lines(events_of(entries, names, late), names))


def _lines(events: Sequence[EventView], names: Mapping[str, str]) -> Iterator[HistoryLine]:
    run: list[EventView] = []
    for one in events:
        if _is_plain_shake(one):
            run.append(one)
            continue
        yield from _shakes(run, names)
        run = []
        yield _line(one, names)
    yield from _shakes(run, names)


def _is_plain_shake(one: EventView) -> bool:
    """Whether it is a shake without a note and without an amendment."""
    fact = one.entry.fact
    return isinstance(fact, Shaken) and not fact.note and not one.amending


def _shakes(run: Sequence[EventView], names: Mapping[str, str]) -> Iterator[HistoryLine]:
    if len(run) < 2:
        yield from (_line(one, names) for one in run)
        return
    first, last = run[0].entry.when, run[-1].entry.when
    people = dict.fromkeys(one.by for one in run if one.by)
    is_one_day = first.iso == last.iso
    yield HistoryLine(
        first, None if is_one_day else last, f"shaken {len(run)} times", ", ".join(people)
    )


def _line(one: EventView, names: Mapping[str, str]) -> HistoryLine:
    mark = "struck" if one.struck_by else "corrected" if one.corrected_by else ""
    said_of = said(one.entry.fact, names) + past_date(one.days_late)
    return HistoryLine(one.entry.when, None, said_of, one.by or "", one.number, mark)
