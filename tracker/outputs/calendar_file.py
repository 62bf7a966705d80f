"""The shelf as an iCalendar file (RFC 5545): the days that matter, each with an alarm.

Importing a later file updates what an earlier one made: the same jar and kind of day keep
their UID, and the newer DTSTAMP and SEQUENCE say which of two is in force (RFC 5546, 2.1.4
and 2.1.5, from memory).
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Literal

from tracker.core.reckoning import amounts
from tracker.core.shelf.contents import DROP_ML
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Batch

if TYPE_CHECKING:
    from icalendar import Calendar

PRODUCT = "-//Stillroom//Tincture shelf//EN"
DayKind = Literal["press", "longest", "good-through"]

# Minutes since this day number the files: a file made later has the higher SEQUENCE.
_NUMBERED_FROM = date(2020, 1, 1)


@dataclass(frozen=True, slots=True)
class CalendarDay:
    """One day of the calendar: whose, which kind, and in words."""

    uid: str
    day: date
    title: str
    words: str


def calendar_days(batches: Iterable[Batch]) -> Iterator[CalendarDay]:
    """Earliest press and longest time of what is macerating, good-through of what is left."""
    for batch in batches:
        name = " ".join(part for part in (batch.herb, batch.part) if part)
        if isinstance(jar := batch, Jar) and jar.is_macerating:
            yield _calendar_day(jar.id, "press", amounts.earliest_press(jar), jar.code, name)
            if (longest := amounts.longest_day(jar)) is not None:
                yield _calendar_day(jar.id, "longest", longest, jar.code, name)
        for extract in batch.extracts:
            if extract.left_ml >= DROP_ML:
                code = batch.extract_code(extract)
                yield _calendar_day(extract.id, "good-through", extract.good_through, code, name)


_TITLES: dict[DayKind, str] = {
    "press": "{code}: may be pressed",
    "longest": "{code}: longest time on the herb ends",
    "good-through": "{code}: last good day",
}
_WORDS: dict[DayKind, str] = {
    "press": "{name}. The earliest day, no deadline: press it when the stock is wanted.",
    "longest": "{name}. Press it by this day.",
    "good-through": "{name}. Good through this day.",
}


def _calendar_day(thing: str, kind: DayKind, day: date, code: str, name: str) -> CalendarDay:
    return CalendarDay(
        f"{thing}-{kind}@stillroom",
        day,
        _TITLES[kind].format(code=code),
        _WORDS[kind].format(name=name),
    )


def calendar(batches: Iterable[Batch], now: datetime, hour: timedelta) -> bytes:
    """The bytes of an iCalendar file.

    Args:
        batches: the shelf.
        now: the present, in UTC.
        hour: the time of day of the alarm, since midnight.
    """
    from icalendar import Calendar

    book = Calendar()
    book.add("prodid", PRODUCT)
    book.add("version", "2.0")
    book.add("method", "PUBLISH")
    book.add("x-wr-calname", "Stillroom")
    for entry in sorted(calendar_days(batches), key=lambda one: (one.day, one.uid)):
        _add_event(book, entry, now, hour)
    return bytes(book.to_ical())


def _add_event(book: "Calendar", entry: CalendarDay, now: datetime, hour: timedelta) -> None:
    from icalendar import Alarm, Event

    event, alarm = Event(), Alarm()
    event.add("uid", entry.uid)
    event.add("dtstamp", now)
    event.add("sequence", (now.date() - _NUMBERED_FROM).days * 1440 + _minute(now))
    event.add("dtstart", entry.day)
    event.add("dtend", entry.day + timedelta(days=1))
    event.add("summary", entry.title)
    event.add("description", entry.words)
    event.add("transp", "TRANSPARENT")
    alarm.add("action", "DISPLAY")
    alarm.add("description", entry.title)
    alarm.add("trigger", hour)
    event.add_component(alarm)
    book.add_component(event)


def _minute(now: datetime) -> int:
    return now.hour * 60 + now.minute
