"""The calendar file, read by a parser that did not write it: vobject (icalendar writes it).

What the standards ask: RFC 5545, 3.1 (folding), 3.6.1 and 3.8.1.11 (the status of an event),
3.6.6 and 3.8.6.3 (alarms), 3.8.7.4 (SEQUENCE); RFC 5546, 2.1.5 and 3.2.1 (which of two is in
force, and an event that is published as cancelled). From memory.
"""

import json
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
import vobject

from tests.command import Command
from tests.lives import OneJar
from tests.outputs import shelves
from tracker import clock
from tracker.core.facts.amendments import Struck
from tracker.core.facts.fields import About
from tracker.core.facts.jars import LookedAt
from tracker.core.facts.lots import Recalled
from tracker.core.practice.practice import Practice
from tracker.core.replay.replay import replay
from tracker.core.values.times import Period
from tracker.outputs.calendar_file import calendar

HERB = '--dried 50g --pour "250 ml 45%"'


def today() -> date:
    return clock.now(ZoneInfo("Europe/Berlin")).date()


def ago(days: int) -> str:
    return (today() - timedelta(days=days)).isoformat()


@pytest.fixture
def shelf(command) -> Command:
    """A jar to press in five days at the earliest, one within seven, and an extract of today."""
    command.practice('zone = "Europe/Berlin"\n[reminders]\ndigest = "07:30"\n')
    command.ok(
        f'charge "citrus" --part "peel, green; \\\\cut" {HERB} --least 30d --longest 40d '
        f"--code A1 --when {ago(25)}"
    )
    command.ok(f'charge "bitterleaf" {HERB} --least 28d --code B1 --when {ago(3)}')
    command.ok(f'charge "cowherb" {HERB} --least 1d --code C1 --when {ago(40)}')
    command.ok(f"press C1 180ml --when {ago(30)}")
    return command


def events(text: str) -> dict:
    """The events of a calendar by their titles."""
    book = vobject.readOne(text, validate=True)
    return {event.summary.value: event for event in getattr(book, "vevent_list", [])}


def live(text: str) -> list[str]:
    return [title for title, one in events(text).items() if one.status.value == "CONFIRMED"]


def over(text: str) -> list[str]:
    return [title for title, one in events(text).items() if one.status.value == "CANCELLED"]


CITRUS = "citrus peel, green; \\cut"


def test_every_day_that_matters_is_there_whole_and_in_words(shelf):
    found = events(shelf.ok("calendar"))
    by_code = {title.rpartition(" · ")[2]: title for title in found}

    assert [title.partition(" · ")[0] for title in found if "A1" in title] == [
        f"Press {CITRUS}", f"Last day to press {CITRUS}",
    ]  # fmt: skip
    assert by_code["B1"] == "Press bitterleaf · B1"
    assert by_code["C1A"].startswith("Good through ")
    assert by_code["C1A"].endswith(": cowherb · C1A")
    for event in found.values():
        assert event.dtend.value - event.dtstart.value == timedelta(days=1)
    press = found[f"Press {CITRUS} · A1"]
    assert press.dtstart.value == today() + timedelta(days=5)
    assert "citrus peel, green; \\cut, dried." in press.description.value.splitlines()
    assert press.description.value.splitlines()[-1] == "stillroom show A1"


def test_each_kind_of_day_is_a_category(shelf):
    found = events(shelf.ok("calendar")).values()

    assert [one.categories.value for one in found] == [
        ["Press"], ["Longest time"], ["Press"], ["Good through"],
    ]  # fmt: skip


def test_a_press_rings_on_its_day_and_a_last_good_day_as_long_before_as_the_maker_asked(shelf):
    """Thirty days before, since the practice says nothing else, at the hour of the digest."""
    for event in events(shelf.ok("calendar")).values():
        (alarm,) = event.valarm_list
        is_last = event.categories.value == ["Good through"]
        ahead = timedelta(days=30 if is_last else 0)

        assert alarm.action.value == "DISPLAY"
        assert alarm.description.value == event.summary.value
        assert alarm.trigger.value == timedelta(hours=7, minutes=30) - ahead


def test_a_later_file_updates_the_days_of_an_earlier_one(shelf):
    """The same UID with another day, under a SEQUENCE that never falls."""
    first = events(shelf.ok("calendar"))
    shelf.ok(f'correct {shelf.event("charged", 1)} --set when={ago(2)} --why "misread"')
    second = events(shelf.ok("calendar"))
    title = "Press bitterleaf · B1"

    assert {one.uid.value for one in first.values()} == {one.uid.value for one in second.values()}
    assert len({one.uid.value for one in first.values()}) == 4
    assert second[title].dtstart.value == first[title].dtstart.value + timedelta(days=1)
    assert int(second[title].sequence.value) >= int(first[title].sequence.value)
    assert second[title].dtstamp.value >= first[title].dtstamp.value


def test_a_jar_that_was_pressed_is_cancelled_and_its_extract_enters(shelf):
    before = events(shelf.ok("calendar"))["Press bitterleaf · B1"]
    shelf.ok("press B1 180ml --sure")
    text = shelf.ok("calendar")

    assert over(text) == ["No longer: bitterleaf · B1"]
    after = events(text)["No longer: bitterleaf · B1"]
    assert after.uid.value == before.uid.value
    assert int(after.sequence.value) >= int(before.sequence.value)
    assert not hasattr(after, "valarm_list")
    assert any(title.endswith(": bitterleaf · B1A") for title in live(text))


def test_a_pressing_that_was_struck_brings_the_jar_back_and_cancels_the_extract(shelf):
    shelf.ok("press B1 180ml --sure")
    shelf.ok(f"strike {shelf.event('pressed', 1)} --why 'the wrong jar'")
    text = shelf.ok("calendar")

    assert "Press bitterleaf · B1" in live(text)
    assert not [title for title in live(text) if "B1A" in title]
    assert over(text)


def test_what_was_charged_by_mistake_is_cancelled(shelf):
    before = events(shelf.ok("calendar"))["Press bitterleaf · B1"].uid.value
    shelf.ok(f"strike {shelf.event('charged', 1)} --why 'never charged'")
    book = vobject.readOne(shelf.ok("calendar"))

    status = {one.uid.value: one.status.value for one in book.vevent_list}
    assert status[before] == "CANCELLED"


def test_an_extract_that_is_used_up_is_cancelled(shelf):
    shelf.ok("dispense C1A 180ml --for P01 --sure")

    assert over(shelf.ok("calendar")) == ["No longer: cowherb · C1A"]


def test_a_last_good_day_that_was_corrected_to_one_that_is_over_is_cancelled(shelf):
    """Else the calendar would go on saying that it is good."""
    (before,) = [
        one.uid.value for title, one in events(shelf.ok("calendar")).items() if "C1A" in title
    ]
    shelf.ok(f'correct {shelf.event("pressed")} --set "keeps=2 weeks" --why misread --sure')
    text = shelf.ok("calendar")

    assert [one.uid.value for one in events(text).values() if one.status.value == "CANCELLED"] == [
        before
    ]
    assert min(one.dtstart.value for one in events(text).values()) >= today()
    assert not [title for title in live(text) if "C1A" in title]


def test_nothing_lies_in_the_past(shelf):
    """A jar that is ready, and an extract past its date, are due and not in the calendar."""
    shelf.ok(f'charge "yarrow" {HERB} --least 5d --longest 7d --code D1 --when {ago(60)}')
    shelf.ok(f'charge "sage" {HERB} --least 5d --code E1 --when {ago(90)}')
    shelf.ok(f"press E1 180ml --keeps '1 month' --when {ago(60)}")
    text = shelf.ok("calendar")

    assert {one["code"] for one in shelf.asked("due")} >= {"D1", "E1A"}
    assert "D1" not in text
    assert "E1A" not in text
    assert min(one.dtstart.value for one in events(text).values()) >= today()


def test_a_file_of_another_day_has_the_days_from_then_on(shelf):
    """Asked as on the day that cowherb was charged, nothing else was there."""
    found = events(shelf.ok(f"calendar --on {ago(40)}"))

    assert list(found) == ["Press cowherb · C1"]


def test_a_file_that_is_named_without_its_option_is_refused(shelf):
    answer = shelf.run("calendar days.ics")

    assert answer.code == 2
    assert not (shelf.home / "days.ics").exists()


def test_lines_are_folded_and_ended_as_the_standard_says(shelf):
    """RFC 5545, 3.1: CRLF, and at most 75 octets a line."""
    shelf.ok(f'charge "{"Sehr lange Würze " * 8}" {HERB} --code D1')
    shelf.ok("calendar --to ours.ics")
    lines = (shelf.home / "ours.ics").read_bytes().split(b"\r\n")

    assert lines[-1] == b""
    assert max(map(len, lines)) <= 75
    assert not any(b"\n" in line for line in lines)


def test_an_empty_book_is_an_empty_calendar_and_a_full_disk_is_said(command):
    command.practice('zone = "Europe/Berlin"\n')
    book = vobject.readOne(command.ok("calendar"))

    assert not hasattr(book, "vevent_list")
    assert "cannot be written" in command.refused("calendar --to nowhere/ours.ics")


def test_the_answer_counts_what_is_to_come_and_what_is_over(shelf):
    shelf.ok("press B1 180ml --sure")
    answer = shelf.run("calendar --to ours.ics")
    fields = json.loads(shelf.ok("calendar --to again.ics --json"))

    assert answer.err.strip().endswith("4 days, 1 cancelled.")
    assert (fields["days"], fields["cancelled"]) == (4, 1)


# What is to be heeded


def titles_of(batches, day: date, **more) -> list[str]:
    now = datetime(day.year, day.month, day.day, 9, tzinfo=UTC)
    return list(events(calendar(batches, Practice(**more), now, timedelta(hours=8)).decode()))


def words_of(batches, day: date, **more) -> str:
    now = datetime(day.year, day.month, day.day, 9, tzinfo=UTC)
    text = calendar(batches, Practice(), now, timedelta(hours=8), **more).decode()
    return "\n".join(f"{title}\n{one.description.value}" for title, one in events(text).items())


MARCH_20 = date(2025, 3, 20)


def test_what_is_on_hold_is_never_said_to_be_pressed_or_good():
    one = OneJar.charged("2025-03-03", least="P28D", longest="P60D", shake=())
    one.then(LookedAt(about=one.jar, verdict="hold", signs=("mould",)), "2025-03-10")
    held = one.now()

    assert titles_of([held], MARCH_20) == [
        "On hold, do not press: marigold flower · CAOF-25-01",
        "On hold, longest time ends: marigold flower · CAOF-25-01",
    ]
    words = words_of([held], MARCH_20)
    assert "On hold since 10 Mar 2025: mould." in words
    assert "press it when" not in words
    assert "By this day, press" not in words


def test_a_recall_stands_first_in_the_title():
    one = OneJar.charged("2025-03-03", least="P28D", shake=())
    call = Recalled(about=About(jar="lot-0001"), jars=(one.charge.id,), why="wrong plant")
    one.then(call, "2025-03-09")

    assert titles_of([one.now()], MARCH_20) == [
        "Recalled, do not press: marigold flower · CAOF-25-01"
    ]


def test_a_percolate_is_collected():
    one = OneJar.charged("2025-03-03", least="P28D", way="percolation", shake=())

    assert titles_of([one.now()], MARCH_20) == ["Collect marigold flower · CAOF-25-01"]


def test_the_caution_of_a_second_herb_and_both_latin_names_are_in_the_description():
    words = words_of(shelves.of_two_herbs().batches, date(2025, 9, 2))

    assert "Calendula officinalis flower, dried + Aconitum napellus root, fresh." in words
    assert "(external use only)" in words.splitlines()[0]
    assert "aconitine" in words


def test_a_bottle_with_a_day_of_its_own_has_an_entry_of_its_own():
    told = shelves.a_bottle_good_for_less_long()

    titles = titles_of(told.batches, date(2025, 8, 1))
    assert "Good through 1 Sep: marigold flower · CAOF-25-01A/1" in titles
    assert "Good through 3 Jun 2026: marigold flower · CAOF-25-01A" in titles


def test_an_alarm_that_would_lie_in_the_past_rings_on_the_day():
    one = OneJar.charged()
    one.press("2025-06-03", keeps="P12M")
    now = datetime(2026, 5, 20, 9, tzinfo=UTC)
    weeks = Practice(expiring_before=Period(days=7))
    triggers = [
        next(iter(events(calendar([one.now()], rules, now, timedelta(hours=8)).decode()).values()))
        .valarm_list[0]
        .trigger.value
        for rules in (Practice(), weeks)
    ]

    assert triggers == [timedelta(hours=8), timedelta(hours=8) - timedelta(days=7)]


def test_a_book_that_is_not_whole_says_so_in_the_file_and_in_every_entry():
    one = OneJar.charged("2025-03-03", least="P28D", longest="P60D", shake=())
    now = datetime(2025, 3, 20, 9, tzinfo=UTC)
    text = calendar([one.now()], Practice(), now, timedelta(hours=8), "INCOMPLETE: 1 thing")
    book = vobject.readOne(text.decode())

    assert book.contents["x-wr-caldesc"][0].value == "INCOMPLETE: 1 thing"
    assert all("INCOMPLETE: 1 thing" in one.description.value for one in book.vevent_list)


def test_a_strike_long_ago_is_no_longer_in_the_file():
    one = OneJar.charged("2024-01-03", shake=())
    one.then(Struck(event=one.charge.id, jars=(one.charge.id,), why="slip"), "2024-01-04")
    entries, batches = one.entries, list(replay(one.entries).batches)

    assert "CAOF-25-01" in words_of(batches, date(2024, 6, 1), entries=entries)
    assert words_of(batches, date(2027, 1, 1), entries=entries) == ""
