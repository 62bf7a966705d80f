"""The demo book: what it holds, and what it is on whatever day it is opened."""

import csv
import os
import re
import subprocess
import sys
from collections import Counter, defaultdict
from datetime import date, datetime, timedelta
from functools import cache
from pathlib import Path
from typing import get_args
from zoneinfo import ZoneInfo

import pytest

from tests.lives import OneJar
from tracker.config import read_practice
from tracker.core import reckon
from tracker.core.codes import code_stem
from tracker.core.codes import numbered as code_letters
from tracker.core.events import AnyFact, codes_of, things_of
from tracker.core.facts.amends import Away, Corrected, Later, Noted, Struck
from tracker.core.facts.fields import HerbFact
from tracker.core.facts.jars import Charged, Found, Split
from tracker.core.facts.liquors import Blended, Dispensed
from tracker.core.facts.lots import BoughtHerb, Dried, Gathered, Recalled
from tracker.core.lots import overdrawn
from tracker.core.reminders import due
from tracker.core.replay import replay
from tracker.core.times import add_months
from tracker.journal.demo import moved
from tracker.journal.files import read_book
from tracker.journal.marks import GENESIS
from tracker.journal.wire import write_line

ROOT = Path(__file__).parents[2]
HOME = ROOT / "demo_events"
LAST = date(2026, 11, 20)
BERLIN = ZoneInfo("Europe/Berlin")

# Around leap days, at the turn of a year, and far from when the book was made.
DAYS = [
    date.fromisoformat(day) for day in ("2026-12-31", "2027-02-28", "2028-02-29", "2030-07-01")
]
# What a shelf at work can want of its maker on any day.
SORTS = (
    "safety", "past-longest", "ready", "shake", "look", "expiring", "expired", "count",
)  # fmt: skip
any_day = pytest.mark.parametrize("day", [LAST, *DAYS], ids=str)


def lines():
    return [
        line
        for file in sorted((HOME / "events").glob("*.jsonl"))
        for line in file.read_bytes().splitlines()
    ]


@cache
def opened_on(day, zone=BERLIN, hour=12):
    return tuple(moved(lines(), datetime(day.year, day.month, day.day, hour, tzinfo=zone)))


@cache
def shelf_on(day):
    return replay(opened_on(day))


@cache
def as_made():
    placed, damages = read_book(HOME)
    assert not damages
    return tuple(one.entry for one in placed)


# The book as it was made


def run_script(*words, **environment):
    return subprocess.run(
        [sys.executable, str(ROOT / "scripts" / "make_demo.py"), *map(str, words)],
        env=os.environ | environment,
        check=True,
        capture_output=True,
    )


def test_the_script_begins_the_same_book_anywhere(tmp_path):
    """The first weeks are made again in another zone and with another hash seed."""
    made = tmp_path / "made"
    run_script(made, "--through", "2024-01-20", TZ="Pacific/Apia", PYTHONHASHSEED="7")

    for file in ("hanne-stillroom.jsonl", "corin-counter.jsonl"):
        beginning = (made / "events" / file).read_bytes()
        assert beginning.count(b"\n") > 20
        assert (HOME / "events" / file).read_bytes().startswith(beginning)
    assert (made / "practice.toml").read_bytes() == (HOME / "practice.toml").read_bytes()


def test_the_script_makes_the_lofts_file_again_anywhere(tmp_path):
    """All of it, in another zone and with another hash seed: the verbs ask for the time."""
    made = tmp_path / "made"
    run_script(made, "--loft-only", TZ="Pacific/Apia", PYTHONHASHSEED="7")
    (file,) = (made / "events").iterdir()

    assert file.name == "wenna-loft.jsonl"
    assert file.read_bytes() == (HOME / "events" / file.name).read_bytes()


@pytest.mark.skipif(
    "STILLROOM_WHOLE_DEMO" not in os.environ,
    reason="makes all three years, half a minute; set STILLROOM_WHOLE_DEMO to run it",
)
def test_the_script_makes_every_byte_again(tmp_path):
    run_script(tmp_path / "made")

    for file in (tmp_path / "made").rglob("*.*"):
        assert file.read_bytes() == (HOME / file.relative_to(tmp_path / "made")).read_bytes()


def test_it_is_as_large_as_a_working_shelf_and_no_larger():
    entries = as_made()
    charges = [entry.fact for entry in entries if isinstance(entry.fact, Charged)]
    days = [entry.when.start.date() for entry in entries if entry.when.is_exact]

    assert len(entries) >= 4000
    assert len(b"\n".join(lines())) < 3_000_000
    assert len(charges) >= 40
    assert {fact.preparation for fact in charges} == {
        "spirit on fresh herb", "spirit on dried herb", "vinegar", "glycerite",
        "honey or oxymel", "oil",
    }  # fmt: skip
    assert len({entry.source for entry in entries}) == 3
    assert timedelta(days=1080) < max(days) - min(days) < timedelta(days=1110)


def test_every_kind_of_event_happens_in_it():
    kinds = {one.kind for one in get_args(AnyFact)}

    assert {entry.kind for entry in as_made()} == kinds


def test_the_lofts_herbs_are_its_own():
    """So that no code of one writer can be that of another."""
    writers = defaultdict(set)
    for entry in as_made():
        for code in codes_of(entry.fact):
            writers[code_letters(code)].add(entry.source)

    assert {len(sources) for sources in writers.values()} == {1}


def test_every_event_can_be_named_by_the_end_of_its_id():
    """`correct` and `strike` take the eight characters that `history` shows."""
    ends = Counter(entry.id[-8:] for entry in as_made())

    assert max(ends.values()) == 1


def test_every_herb_is_a_real_plant_by_its_accepted_name():
    """Against a list of plants and the parts used of them (from memory, reviewed once)."""
    with (ROOT / "tests/core/herbs/data/plants.csv").open(encoding="utf-8") as file:
        rows = csv.DictReader(line for line in file if not line.startswith("#"))
        known = {row["latin_binomial"]: row for row in rows}

    for entry in as_made():
        if isinstance(entry.fact, (HerbFact, Found, Gathered, BoughtHerb)):
            plant = known[entry.fact.herb]
            assert entry.fact.common == plant["common_name"]
            assert entry.fact.part in re.split(r",? and |, ", plant["parts_used"])


def test_nothing_in_it_says_who_takes_what():
    """What is given out goes by slips, each used once; no remark speaks of taking anything."""
    entries = as_made()
    slips = [entry.fact.reference for entry in entries if isinstance(entry.fact, Dispensed)]
    texts = [
        text
        for entry in entries
        for text in (entry.fact.note, getattr(entry.fact, "why", None))
        if text
    ]

    assert all(re.fullmatch(r"[SL]\d{4}", slip) for slip in slips)
    assert len(set(slips)) == len(slips)
    assert len(set(texts)) > 15
    advice = re.compile(
        r"\b(dos\w*|tak(e|es|en) .*(daily|day|drops)|drops|patient|treat|cure)", re.I
    )
    assert not [text for text in texts if advice.search(text)]


def test_the_marc_holds_what_marc_holds():
    """0.7 to 1.9 ml per gram of dried herb: common practice, no source."""
    pressed = [jar for jar in shelf_on(LAST).jars.values() if jar.pressing and jar.marc_g]
    dried = [reckon.held_ml_per_g(jar) for jar in pressed if jar.form == "dried"]
    fresh = [jar for jar in pressed if jar.form == "fresh" and jar.steeps == 1]

    assert len(dried) > 40
    assert all(0.7 <= held <= 1.9 for held in dried)
    assert len(fresh) > 5
    for jar in fresh:
        went_in_ml = reckon.poured_ml(jar) + reckon.herb_water_ml(jar)
        assert 0.6 * went_in_ml < jar.liquors[0].pressed_ml < went_in_ml


def test_mistakes_are_answered_and_a_batch_was_lost():
    shelf = shelf_on(LAST)
    entries = as_made()
    set_fields = {
        name
        for entry in entries
        if isinstance(entry.fact, Corrected)
        for name in entry.fact.set
    }
    by_id = {entry.id: entry for entry in entries}
    struck = {
        by_id[entry.fact.event].kind for entry in entries if isinstance(entry.fact, Struck)
    }
    mouldy = [
        jar
        for jar in shelf.jars.values()
        if jar.discarded and jar.look and "mould" in jar.look.signs
    ]

    assert set_fields >= {"volume_ml", "time", "herb_g", "subject", "about", "jars"}
    assert struck >= {"shaken", "pressed", "struck"}
    assert set_fields >= {"paid"}
    assert len(mouldy) == 2
    assert len({(jar.herb, jar.charged.earliest) for jar in mouldy}) == 1


def test_what_holds_any_of_the_lot_called_back_is_on_hold_and_some_was_given_out():
    """Worked out here from the facts of the lines alone, not from what replay keeps."""
    entries = as_made()
    (recall,) = [entry.fact for entry in entries if isinstance(entry.fact, Recalled)]
    held = {recall.about.jar}
    for entry in entries:  # in the order of the file, so that sources come before uses
        if isinstance(entry.fact, Charged) and entry.fact.herb_lot in held:
            held.add(entry.id)
        if (
            isinstance(entry.fact, Blended)
            and {part.about.jar for part in entry.fact.parts} & held
        ):
            held.add(entry.id)
    given = [
        entry
        for entry in entries
        if isinstance(entry.fact, Dispensed) and entry.fact.about.jar in held
    ]
    shelf = shelf_on(LAST)

    assert held == {recall.about.jar, *recall.jars}
    assert len(recall.jars) == 4
    assert all(shelf.jars[jar_id].on_hold for jar_id in recall.jars)
    assert shelf.lots[recall.about.jar].recalled
    assert len(given) >= 5


def test_no_lot_is_used_beyond_what_there_was():
    shelf = shelf_on(LAST)

    assert not overdrawn(list(shelf.lots.values()), shelf.jars.values())
    assert any(lot.paid for lot in shelf.lots.values())


# On whatever day it is opened


@any_day
def test_its_last_day_is_the_day_it_is_opened(day):
    last = max(entry.when.start for entry in opened_on(day))

    assert last.date() == day


@any_day
def test_something_is_due_of_every_sort(day):
    lines_due = due(shelf_on(day).jars.values(), read_practice(HOME), day)
    by_sort = {what: [one for one in lines_due if one.what == what] for what in SORTS}

    assert all(by_sort.values()), {what: len(found) for what, found in by_sort.items()}
    assert [one.since for one in by_sort["ready"]] == [day, day]
    assert any("metal" in one.why for one in by_sort["safety"])
    assert any("hold" in one.why for one in by_sort["safety"])
    assert len(lines_due) < 25


@any_day
def test_the_shelf_and_the_stock_are_well_filled(day):
    jars = shelf_on(day).jars.values()
    ready = [jar for jar in jars if reckon.is_ready(jar, day)]
    stocked = [one for jar in jars for one in jar.liquors if one.left_ml > 50]

    assert len([jar for jar in jars if jar.is_macerating]) >= 15
    assert len([jar for jar in ready if reckon.earliest_press(jar) < day]) >= 3
    assert len(stocked) >= 15
    assert sum(1 for one in stocked if day > one.good_through) == 1


@any_day
def test_only_the_flag_that_is_meant_is_raised(day):
    """Written in the demo book's README: a shake on the day after the pressing."""
    shelf = shelf_on(day)
    things = [*shelf.jars.values(), *shelf.lots.values()]
    flags = [flag.why for one in things for flag in one.flags]

    assert not shelf.unplaced
    assert len(flags) == 1
    assert re.fullmatch(r"shaken on [\d-]+, but the jar was pressed on [\d-]+", flags[0])


@any_day
def test_every_code_is_of_the_year_its_event_moved_to(day):
    entries = opened_on(day)
    given = [
        (code, entry.when.start.year) for entry in entries for code in codes_of(entry.fact)
    ]
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
    code_of = {one.id: one.code for one in (*shelf.jars.values(), *shelf.lots.values())}

    for entry in opened_on(day):
        if isinstance(entry.fact, (Corrected, Struck, Away)):
            continue
        about = [one.jar for one in things_of(entry.fact)] or list(entry.jars)
        if codes_of(entry.fact) and not isinstance(entry.fact, (Split, Dried)):
            about = [entry.id]
        if entry.kind == "refilled":
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
            assert (
                entry.when.start.replace(tzinfo=None)
                == was.when.start.replace(tzinfo=None) + by
            )
        recorded = entry.recorded.astimezone(ZoneInfo(zone)).replace(tzinfo=None)
        assert recorded == was.recorded.replace(tzinfo=None) + by


@any_day
def test_a_corrected_date_moves_with_the_rest(day):
    """The charge written down a month early was right a month later, by as many days."""

    def corrected_charge(entries):
        dated = next(
            e for e in entries if isinstance(e.fact, Corrected) and "time" in e.fact.set
        )
        return replay(entries).jars[dated.fact.event].charged

    was, now = corrected_charge(as_made()), corrected_charge(opened_on(day))

    assert now.earliest - was.earliest == day - LAST
    assert now.precision == "day"


@any_day
def test_an_inexact_charge_stays_a_season(day):
    """Meteorological seasons begin in March, June, September and December."""
    (found,) = [jar for jar in shelf_on(day).jars.values() if jar.charged.precision == "season"]

    assert found.charged.earliest.day == 1
    assert found.charged.earliest.month in (3, 6, 9, 12)
    assert found.charged.latest == add_months(found.charged.earliest, 3) - timedelta(days=1)
    assert abs(found.charged.earliest - (date(2022, 6, 1) + (day - LAST))) < timedelta(days=50)


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
