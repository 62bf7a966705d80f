"""The shelf as an iCalendar file (RFC 5545): the days that matter, each with an alarm.

Importing a later file updates what an earlier one made: the same jar and kind of day keep
their UID, and the newer DTSTAMP and SEQUENCE say which of two is in force (RFC 5546, 2.1.4
and 2.1.5, from memory).
"""

from collections.abc import Iterable, Iterator
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Literal

import msgspec

from tracker.core.practice.practice import PlantNames, Practice
from tracker.core.reckoning import keeps
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.thing import Batch, Thing, extract_of, things
from tracker.core.values.text import shown
from tracker.outputs.view.liquid import HoldView
from tracker.outputs.view.thing_view import RowView, row_of
from tracker.outputs.words.holds import hold_name, hold_said
from tracker.outputs.words.plant_names import called_in_a_list, herbs_named
from tracker.outputs.words.ways_of_making import press_verb

if TYPE_CHECKING:
    from icalendar import Calendar

PRODUCT = "-//Stillroom//Tincture shelf//EN"
DayKind = Literal["press", "longest", "look", "good-through"]

# Minutes since this day number the files: a file made later has the higher SEQUENCE.
_NUMBERED_FROM = date(2020, 1, 1)


class CalendarDay(msgspec.Struct, frozen=True):
    """One day of the calendar: whose, which kind, and in words."""

    uid: str
    day: date
    title: str
    words: str


def calendar_days(
    batches: Iterable[Batch], practice: Practice, today: date
) -> Iterator[CalendarDay]:
    """Earliest press and longest time of what macerates, good-through of what is left, looks.

    A bottle with a last good day of its own has an entry of its own.
    """
    names = practice.names
    for batch in batches:
        for thing in things(batch):
            row = row_of(thing, practice, today)
            if row.look_again is not None and thing.bottle is None:
                about = row.id if thing.extract is None else _uid(thing)
                yield _calendar_day(about, "look", row.look_again, row, names)
            if row.is_macerating:
                yield from _days_of_jar(row, names)
            elif (
                thing.extract is not None
                and _is_left(thing, practice)
                and row.good_through is not None
            ):
                yield _calendar_day(_uid(thing), "good-through", row.good_through, row, names)


def _is_left(thing: Thing, practice: Practice) -> bool:
    """Whether some of an extract is left, or of a bottle that differs from its extract."""
    assert thing.extract is not None
    if thing.bottle is None:
        return thing.extract.left_ml >= DROP_ML
    whole = keeps.good_through(extract_of(thing.batch, thing.extract), practice)
    has_own_day = keeps.good_through(thing, practice) != whole
    return has_own_day and thing.bottle.volume_ml >= DROP_ML


def _uid(thing: Thing) -> str:
    assert thing.extract is not None
    return thing.extract.id + (f"-{thing.bottle.number}" if thing.bottle else "")


def _days_of_jar(row: RowView, names: PlantNames) -> Iterator[CalendarDay]:
    if row.press_from is not None:
        yield _calendar_day(row.id, "press", row.press_from, row, names)
    if row.longest is not None:
        yield _calendar_day(row.id, "longest", row.longest, row, names)


_TITLES: dict[DayKind, str] = {
    "press": "ready to {press}",
    "longest": "longest time on the herb ends",
    "look": "look again",
    "good-through": "last good day",
}
_WORDS: dict[DayKind, str] = {
    "press": "The earliest day, no deadline: {press} it when the stock is wanted.",
    "longest": "By this day, {press} it.",
    "look": "Look at it again, and record what you see.",
    "good-through": "Good through this day.",
}


def _calendar_day(
    thing: str, kind: DayKind, day: date, row: RowView, names: PlantNames
) -> CalendarDay:
    """One day; a hold stands in its title, since that is all a phone may show."""
    name = called_in_a_list(row.herbs, names)
    held = "" if row.hold is None else f" ({hold_name(row.hold)})"
    weak = " Weak: keep it cold." if row.weak is not None else ""
    why = "" if row.hold is None else f" {_sentence(row.hold, row.code)}"
    return CalendarDay(
        f"{thing}-{kind}@stillroom",
        day,
        shown(f"{name[:1].upper()}{name[1:]} {row.code}: {_of_way(_TITLES[kind], row)}{held}"),
        shown(f"{herbs_named(row.herbs)}. {_of_way(_WORDS[kind], row)}{weak}{why}"),
    )


def _sentence(hold: HoldView, code: str) -> str:
    return f"{hold_name(hold).capitalize()} {hold_said(hold, code)}."


def _of_way(text: str, row: RowView) -> str:
    return text.format(press=press_verb(row.steep_way or "maceration"))


def calendar(
    batches: Iterable[Batch], practice: Practice, now: datetime, hour: timedelta, heed: str = ""
) -> bytes:
    """The bytes of an iCalendar file.

    Args:
        batches: the shelf.
        practice: the rules in force.
        now: the present, in UTC.
        hour: the time of day of the alarm, since midnight.
        heed: what has to be said of all of it.
    """
    from icalendar import Calendar

    book = Calendar()
    book.add("prodid", PRODUCT)
    book.add("version", "2.0")
    book.add("method", "PUBLISH")
    book.add("x-wr-calname", "Stillroom")
    for entry in sorted(
        calendar_days(batches, practice, now.date()), key=lambda one: (one.day, one.uid)
    ):
        _add_event(book, entry, now, hour, heed)
    return bytes(book.to_ical())


def _add_event(
    book: "Calendar", entry: CalendarDay, now: datetime, hour: timedelta, heed: str
) -> None:
    from icalendar import Alarm, Event

    event, alarm = Event(), Alarm()
    event.add("uid", entry.uid)
    event.add("dtstamp", now)
    event.add("sequence", (now.date() - _NUMBERED_FROM).days * 1440 + _minute(now))
    event.add("dtstart", entry.day)
    event.add("dtend", entry.day + timedelta(days=1))
    event.add("summary", entry.title)
    event.add("description", f"{entry.words} {heed}".rstrip())
    event.add("transp", "TRANSPARENT")
    alarm.add("action", "DISPLAY")
    alarm.add("description", entry.title)
    alarm.add("trigger", hour)
    event.add_component(alarm)
    book.add_component(event)


def _minute(now: datetime) -> int:
    return now.hour * 60 + now.minute
