"""The shelf as an iCalendar file (RFC 5545): the days that matter, each with an alarm.

Importing a later file updates what an earlier one made: the same thing and kind of day keep
their UID, and the newer DTSTAMP and SEQUENCE say which of two is in force (RFC 5546, 2.1.4
and 2.1.5); what is over is there once more, as cancelled (RFC 5545, 3.8.1.11; RFC 5546,
3.2.1). From memory.
"""

from collections.abc import Iterable, Sequence
from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING

from tracker.core.facts.entry import Entry
from tracker.core.practice.practice import Practice
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.thing import Batch
from tracker.outputs.view.calendar_days import CalendarDay, calendar_days
from tracker.outputs.words.calendar_words import (
    CATEGORIES,
    calendar_description,
    calendar_title,
)

if TYPE_CHECKING:
    from icalendar import Calendar

PRODUCT = "-//Stillroom//Tincture shelf//EN"

# Minutes since this day number the files: a file made later has the higher SEQUENCE.
_NUMBERED_FROM = date(2020, 1, 1)


def calendar(
    batches: Sequence[Batch],
    practice: Practice,
    now: datetime,
    hour: timedelta,
    incomplete: str = "",
    *,
    today: date | None = None,
    flags: Sequence[Flag] = (),
    entries: Iterable[Entry] = (),
) -> bytes:
    """The bytes of an iCalendar file.

    Args:
        batches: the shelf, with what is done.
        practice: the rules in force.
        now: the present, in the maker's zone.
        hour: the time of day of the alarms, since midnight.
        incomplete: that the book is not whole, where it is not.
        today: the maker's day, where it is another one than that of `now`.
        flags: what holds some of a lot called back and is on no hold.
        entries: the lines of the book, for what was struck.
    """
    from icalendar import Calendar

    book = Calendar()
    book.add("prodid", PRODUCT)
    book.add("version", "2.0")
    book.add("method", "PUBLISH")
    book.add("x-wr-calname", "Stillroom")
    if incomplete:
        book.add("x-wr-caldesc", incomplete)
    day = today or now.date()
    for one in calendar_days(batches, practice, day, flags=flags, entries=entries):
        _add_event(book, one, calendar_title(one, practice.names, day), now, hour, incomplete)
    return bytes(book.to_ical())


def _add_event(
    book: "Calendar",
    one: CalendarDay,
    title: str,
    now: datetime,
    hour: timedelta,
    incomplete: str,
) -> None:
    from icalendar import Alarm, Event

    stamp = now.astimezone(UTC)
    event = Event()
    event.add("uid", f"{one.about}-{one.kind}@stillroom")
    event.add("dtstamp", stamp)
    event.add("sequence", (stamp.date() - _NUMBERED_FROM).days * 1440 + _minute(stamp))
    event.add("dtstart", one.day)
    event.add("dtend", one.day + timedelta(days=1))
    event.add("summary", title)
    event.add("description", calendar_description(one, incomplete))
    event.add("categories", [CATEGORIES[one.kind]])
    event.add("status", "CANCELLED" if one.is_over else "CONFIRMED")
    event.add("transp", "TRANSPARENT")
    if not one.is_over:
        alarm = Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("description", title)
        alarm.add("trigger", (one.rings_on or one.day) - one.day + hour)
        event.add_component(alarm)
    book.add_component(event)


def _minute(now: datetime) -> int:
    return now.hour * 60 + now.minute
