"""The demo book on whatever day it is opened: everything in it moves by whole days."""

import re
from collections import Counter
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from tests.journal.demo_book import BERLIN, HOME, LAST, as_made, opened_on, shelf_on
from tests.lives import OneJar
from tracker.config.practice_file import read_practice
from tracker.core.facts.amendments import Away, Corrected, Later, Noted, Struck
from tracker.core.facts.jars import Charged, Found, Split
from tracker.core.facts.kinds import codes_of, things_of
from tracker.core.facts.lots import Dried
from tracker.core.reckoning import amounts
from tracker.core.replay.replay import replay
from tracker.core.rules.reminders import due
from tracker.core.shelf.codes import code_stem
from tracker.core.values.times import add_months
from tracker.journal.demo_copy import moved
from tracker.journal.file_marks import GENESIS
from tracker.journal.line import write_line
from tracker.outputs.words.due.due_lines import why_due
from tracker.outputs.words.flags import flag_text

# Around leap days, at the turn of a year, and far from when the book was made.
DAYS = [date.fromisoformat(day) for day in ("2026-12-31", "2027-02-28", "2028-02-29", "2030-07-01")]
# What a shelf at work can want of its maker on any day.
SORTS = (
    "safety", "past-longest", "ready", "shake", "look", "expiring", "expired", "count",
)  # fmt: skip
any_day = pytest.mark.parametrize("day", [LAST, *DAYS], ids=str)


@any_day
def test_its_last_day_is_the_day_it_is_opened(day):
    last = max(entry.when.start for entry in opened_on(day))

    assert last.date() == day


@any_day
def test_something_is_due_of_every_sort(day):
    lines_due = due(shelf_on(day).batches, read_practice(HOME), day)
    by_sort = {what: [one for one in lines_due if one.what == what] for what in SORTS}

    assert all(by_sort.values()), {what: len(found) for what, found in by_sort.items()}
    assert [one.since for one in by_sort["ready"]][-2:] == [day, day]
    assert any("metal" in why_due(one, one.since) for one in by_sort["safety"])
    assert any("hold" in why_due(one, one.since) for one in by_sort["safety"])
    assert len(lines_due) - len(by_sort["ready"]) < 25


@any_day
def test_the_shelf_and_the_stock_are_well_filled(day):
    shelf = shelf_on(day)
    jars = list(shelf.jars.values())
    ready = [jar for jar in jars if amounts.is_ready(jar, day)]
    stocked = [one for batch in shelf.batches for one in batch.extracts if one.left_ml > 50]

    assert len([jar for jar in jars if jar.is_macerating]) >= 15
    assert len([jar for jar in ready if amounts.earliest_press(jar) < day]) >= 3
    assert len(stocked) >= 15
    assert sum(1 for one in stocked if day > (one.good_through or day)) == 1


@any_day
def test_only_the_flag_that_is_meant_is_raised(day):
    """Written in the demo book's README: a shake on the day after the pressing."""
    shelf = shelf_on(day)
    things = [*shelf.batches, *shelf.lots.values()]
    flags = [flag_text(flag) for one in things for flag in one.flags]

    assert not shelf.unplaced
    assert len(flags) == 1
    assert re.fullmatch(r"shaken on [^,]+, but the jar was pressed on [^,]+", flags[0])


@any_day
def test_every_code_is_of_the_year_its_event_moved_to(day):
    entries = opened_on(day)
    given = [(code, entry.when.start.year) for entry in entries for code in codes_of(entry.fact)]
    codes = [code for code, _ in given]

    assert all(code.split("-")[1] == f"{year % 100:02d}" for code, year in given)
    assert len(set(codes)) == len(codes)
    rows = Counter(code[: code.rindex("-") + 1] for code in codes)
    assert set(codes) == {
        f"{stem}{number:02d}" for stem, count in rows.items() for number in range(1, count + 1)
    }


@any_day
def test_the_code_of_a_herbs_jar_is_made_of_its_name(day):
    for entry in opened_on(day):
        if isinstance(entry.fact, (Charged, Found)):
            stem = code_stem(entry.fact.herb, entry.when.start.year)
            assert re.fullmatch(stem + r"\d\d", entry.fact.code)


@any_day
def test_every_subject_names_what_the_event_is_about(day):
    """Codes in subjects move with the things: the shelf, told by ids, gives the codes."""
    shelf = shelf_on(day)
    code_of = {one.id: one.code for one in (*shelf.batches, *shelf.lots.values())}

    for entry in opened_on(day):
        if isinstance(entry.fact, (Corrected, Struck, Away)):
            continue
        about = [one.jar for one in things_of(entry.fact)] or list(entry.jars)
        if codes_of(entry.fact) and not isinstance(entry.fact, (Split, Dried)):
            about = [entry.id]
        if entry.kind in ("refilled", "recalled"):  # the bottle, the lot; not the others
            about = about[:1]
        named = re.findall(r"[A-Z]+-\d\d-\d\d", entry.subject)
        assert named == [code_of[one] for one in about], entry


@any_day
def test_no_code_is_left_behind(day):
    """In remarks, reasons and whatever else is text, every code is one that was given."""
    entries = opened_on(day)
    codes = {code for entry in entries for code in codes_of(entry.fact)}
    named = {
        code
        for entry in entries
        for code in re.findall(r"\b[A-Z]{3,5}-\d\d-\d\d", repr((entry.subject, entry.fact)))
    }

    assert named == codes


@any_day
def test_days_that_facts_name_move_with_the_rest(day):
    """A stay, and the day until which a reminder is put off."""
    by = day - LAST
    was = {entry.id: entry.fact for entry in as_made()}
    stays = [entry for entry in opened_on(day) if isinstance(entry.fact, Away)]
    put_off = [entry for entry in opened_on(day) if isinstance(entry.fact, Later)]

    assert len(stays) == len(put_off) == 1
    for entry in stays:
        assert entry.fact.first == was[entry.id].first + by
        assert entry.fact.last == was[entry.id].last + by
    for entry in put_off:
        assert entry.fact.until == was[entry.id].until + by


@any_day
def test_codes_in_corrections_and_reasons_move_as_well(day):
    codes = {entry.fact.code for entry in opened_on(day) if isinstance(entry.fact, Charged)}
    in_values = [
        code
        for entry in opened_on(day)
        if isinstance(entry.fact, Corrected)
        for code in str(entry.fact.set.get("subject", "")).split()
    ]
    in_reasons = [
        code
        for entry in opened_on(day)
        if isinstance(entry.fact, Corrected | Struck)
        for code in re.findall(r"[A-Z]{4}-\d\d-\d\d", entry.fact.why)
    ]

    assert len(in_values) == 3
    assert len(in_reasons) >= 3
    assert {*in_values, *in_reasons} <= codes


@pytest.mark.parametrize("zone", ["Europe/Berlin", "America/New_York", "Australia/Lord_Howe"])
def test_every_time_keeps_its_hour_on_the_makers_clock(zone):
    """Through the nights the clocks change, and for the time of recording too."""
    day = date(2028, 2, 29)
    by = day - LAST
    original = {entry.id: entry for entry in as_made()}

    for entry in opened_on(day, ZoneInfo(zone), hour=23):
        was = original[entry.id]
        if was.when.is_exact:
            assert entry.when.start.replace(tzinfo=None) == was.when.start.replace(tzinfo=None) + by
        recorded = entry.recorded.astimezone(ZoneInfo(zone)).replace(tzinfo=None)
        assert recorded == was.recorded.replace(tzinfo=None) + by


@any_day
def test_a_corrected_date_moves_with_the_rest(day):
    """The charge written down a month early was right a month later, by as many days."""

    def corrected_charge(entries):
        dated = next(e for e in entries if isinstance(e.fact, Corrected) and "time" in e.fact.set)
        return replay(entries).jars[dated.fact.event].charged

    was, now = corrected_charge(as_made()), corrected_charge(opened_on(day))

    assert now.earliest - was.earliest == day - LAST
    assert now.precision == "day"


@any_day
def test_an_inexact_charge_stays_a_season(day):
    """Meteorological seasons begin in March, June, September and December."""
    jars = [jar for jar in shelf_on(day).jars.values() if jar.charged.precision == "season"]
    old, found = sorted(jars, key=lambda jar: jar.charge_guessed)

    for jar, began in ((old, date(2022, 6, 1)), (found, date(2025, 9, 1))):
        assert jar.charged.earliest.day == 1
        assert jar.charged.earliest.month in (3, 6, 9, 12)
        assert jar.charged.latest == add_months(jar.charged.earliest, 3) - timedelta(days=1)
        assert abs(jar.charged.earliest - (began + (day - LAST))) < timedelta(days=50)


def test_nothing_lies_ahead_of_a_maker_who_rises_early():
    """Else what is recorded next would come before what the demo did on its last day."""
    entries = opened_on(DAYS[0], hour=5)
    now = datetime(2026, 12, 31, 5, tzinfo=BERLIN)

    assert max(entry.when.start for entry in entries) == now
    assert max(entry.recorded for entry in entries) == now


# What the book itself does not hold


def test_a_corrected_day_moves_and_so_does_one_corrected_twice():
    one = OneJar.charged("2025-03-03")
    until = date(2025, 6, 20)
    waits = one.then(Later(about=one.jar, what="ready", until=until), "2025-06-03")
    first = one.correct(waits, {"until": "2025-06-21"})
    one.correct(first, {"set": {"until": "2025-06-22"}})
    by = date(2027, 1, 1) - date(2026, 1, 1)  # the day of the corrections

    entries = moved_on(one.entries, datetime(2027, 1, 1, 12, tzinfo=BERLIN))

    assert entries[1].fact.until == until + by
    assert entries[2].fact.set == {"until": str(date(2025, 6, 21) + by)}
    assert entries[3].fact.set == {"set": {"until": str(date(2025, 6, 22) + by)}}
    assert replay(entries).jars[one.charge.id].put_off == {"ready": date(2025, 6, 22) + by}


def test_a_code_of_the_makers_own_stays_as_it_is():
    one = OneJar.charged("2025-03-03", code="Aunt-Rosa-3")
    one.then(Noted(about=one.jar, note="next to CAOF-25-01"), "2025-03-03")

    entries = moved_on(one.entries, datetime(2028, 1, 1, 12, tzinfo=BERLIN))

    assert entries[0].fact.code == entries[0].subject == "Aunt-Rosa-3"
    assert entries[1].fact.note == "next to CAOF-25-01"


def moved_on(entries, now):
    return moved([write_line(entry, GENESIS)[0] for entry in entries], now)
