"""The calendar file, read by a parser that did not write it: vobject (icalendar writes it)."""

from datetime import date, timedelta

import pytest
import vobject

from tests.command import Command

HERB = '--dried 50g --pour "250 ml 45%"'
STORY = (
    f'charge "citrus" --part "peel, green; \\\\cut" {HERB} --least 5d --longest 7d --code A1 '
    "--when 2025-07-01",
    f'charge "bitterleaf" {HERB} --least 28d --code B1 --when 2025-06-12',
    f'charge "cowherb" {HERB} --least 1d --code C1 --when 2025-06-12',
    "press C1 180ml --when 2025-07-01",
)

CITRUS = "Citrus peel, green; \\cut"
A1_READY = f"{CITRUS} A1: ready to press"


@pytest.fixture
def shelf(command) -> Command:
    command.practice('zone = "Europe/Berlin"\n[reminders]\ndigest = "07:30"\n')
    for line in STORY:
        command.ok(line)
    return command


def days(text: str):
    """The events of a calendar by their titles."""
    book = vobject.readOne(text, validate=True)
    return {event.summary.value: event for event in book.vevent_list}


def test_every_day_that_matters_is_there_whole_and_in_words(shelf):
    found = days(shelf.ok("calendar"))

    assert {title: event.dtstart.value for title, event in found.items()} == {
        A1_READY: date(2025, 7, 6),
        f"{CITRUS} A1: longest time on the herb ends": date(2025, 7, 8),
        "Bitterleaf B1: ready to press": date(2025, 7, 10),
        "Cowherb C1A: last good day": date(2026, 7, 1),
    }
    for event in found.values():
        assert event.dtend.value - event.dtstart.value == timedelta(days=1)
    assert "citrus peel, green; \\cut, dried." in found[A1_READY].description.value


def test_each_day_rings_at_the_hour_of_the_digest(shelf):
    for event in days(shelf.ok("calendar")).values():
        (alarm,) = event.valarm_list
        assert alarm.action.value == "DISPLAY"
        assert alarm.trigger.value == timedelta(hours=7, minutes=30)


def test_a_later_file_updates_the_days_of_an_earlier_one(shelf):
    """The same UID with another day, under a SEQUENCE that never falls."""
    first = days(shelf.ok("calendar"))
    shelf.ok(f'correct {shelf.event("charged", 1)} --set when=2025-06-15 --why "misread"')
    second = days(shelf.ok("calendar"))
    title = "Bitterleaf B1: ready to press"

    assert {one.uid.value for one in first.values()} == {one.uid.value for one in second.values()}
    assert len({one.uid.value for one in first.values()}) == 4
    assert second[title].dtstart.value == date(2025, 7, 13)
    assert int(second[title].sequence.value) >= int(first[title].sequence.value)
    assert second[title].dtstamp.value >= first[title].dtstamp.value


def test_a_pressed_jar_leaves_the_calendar_and_its_extract_enters(shelf):
    shelf.ok("press B1 180ml --when 2025-07-11")

    assert {title for title in days(shelf.ok("calendar")) if title.startswith("Bitterleaf")} == {
        "Bitterleaf B1A: last good day"
    }


def test_lines_are_folded_and_ended_as_the_standard_says(shelf):
    """RFC 5545, 3.1: CRLF, and at most 75 octets a line."""
    shelf.ok(f'charge "{"Sehr lange Würze " * 8}" {HERB} --code D1 --when 2025-07-01')
    shelf.ok("calendar ours.ics")
    lines = (shelf.home / "ours.ics").read_bytes().split(b"\r\n")

    assert lines[-1] == b""
    assert max(map(len, lines)) <= 75
    assert not any(b"\n" in line for line in lines)


def test_an_empty_book_is_an_empty_calendar_and_a_full_disk_is_said(command):
    command.practice('zone = "Europe/Berlin"\n')
    book = vobject.readOne(command.ok("calendar"))

    assert not hasattr(book, "vevent_list")
    assert "cannot be written" in command.refused("calendar nowhere/ours.ics")
