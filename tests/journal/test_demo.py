"""The demo book as it was made: what it holds, and that the script makes it again."""

import csv
import os
import re
import subprocess
import sys
from collections import defaultdict
from datetime import timedelta
from typing import get_args

import pytest

from tests.journal.demo_book import HOME, LAST, ROOT, as_made, lines, shelf_on
from tracker.core.facts.amendments import Corrected, Struck
from tracker.core.facts.entry_numbers import entry_names
from tracker.core.facts.extracts import Blended, Dispensed
from tracker.core.facts.fields import HerbFact
from tracker.core.facts.jars import Charged, Found
from tracker.core.facts.kinds import AnyFact, codes_of
from tracker.core.facts.lots import BoughtHerb, Gathered, Recalled
from tracker.core.reckoning import amounts
from tracker.core.reckoning.flows.lot_balance import overdrawn
from tracker.core.shelf.codes import numbered as code_letters
from tracker.core.shelf.end import DiscardedEnd
from tracker.core.shelf.jar import Jar

pytestmark = pytest.mark.thorough


def test_the_script_makes_every_byte_again_anywhere(tmp_path):
    """In another zone and with another hash seed: the verbs ask for the time."""
    made = tmp_path / "made"
    subprocess.run(
        [sys.executable, str(ROOT / "scripts" / "make_demo.py"), str(made)],
        env=os.environ | {"TZ": "Pacific/Apia", "PYTHONHASHSEED": "7"},
        check=True,
        capture_output=True,
    )
    files = {path.relative_to(made): path.read_bytes() for path in made.rglob("*.*")}

    assert len([path for path in files if path.suffix == ".jsonl"]) == 3
    assert files == {path: (HOME / path).read_bytes() for path in files}


def test_it_is_as_large_as_a_working_shelf_and_no_larger():
    entries = as_made()
    charges = [entry.fact for entry in entries if isinstance(entry.fact, Charged)]
    days = [entry.when.start.date() for entry in entries if entry.when.is_exact]

    assert len(entries) >= 4000
    assert len(b"\n".join(lines())) < 3_000_000
    assert len(charges) >= 40
    assert {fact.preparation for fact in charges} == {
        "spirit on fresh herb", "spirit on dried herb", "vinegar", "glycerite",
        "honey or oxymel", "oil", "water",
    }  # fmt: skip
    assert len({entry.source for entry in entries}) == 3
    assert timedelta(days=1080) < max(days) - min(days) < timedelta(days=1110)


def test_every_kind_of_event_happens_in_it():
    """All but one: what was printed names days in words, which would not move with the book."""
    kinds = {one.kind for one in get_args(AnyFact)}

    assert {entry.kind for entry in as_made()} == kinds - {"labelled"}


def test_the_lofts_herbs_are_its_own():
    """So that no code of one writer can be that of another."""
    writers = defaultdict(set)
    for entry in as_made():
        for code in codes_of(entry.fact):
            writers[code_letters(code)].add(entry.source)

    assert {len(sources) for sources in writers.values()} == {1}


def test_every_entry_has_a_number_of_its_own():
    """`correct` and `strike` take what `history` shows: h, c or w, and the line's number."""
    names = entry_names(as_made(), {entry.source for entry in as_made()})

    assert len(set(names.values())) == len(as_made())
    assert {name[0] for name in names.values()} == {"h", "c", "w"}
    assert all(name[1:].isdigit() for name in names.values())


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
    dried = [amounts.held_ml_per_g(jar) for jar in pressed if jar.form == "dried"]
    fresh = [jar for jar in pressed if jar.form == "fresh" and jar.steeps == 1]

    assert len(dried) > 40
    assert all(0.7 <= held <= 1.9 for held in dried)
    assert len(fresh) > 5
    for jar in fresh:
        went_in_ml = amounts.poured_ml(jar) + amounts.herb_water_ml(jar)
        assert 0.6 * went_in_ml < jar.extracts[0].pressed_ml < went_in_ml


def test_mistakes_are_answered_and_a_batch_was_lost():
    shelf = shelf_on(LAST)
    entries = as_made()
    set_fields = {
        name for entry in entries if isinstance(entry.fact, Corrected) for name in entry.fact.set
    }
    by_id = {entry.id: entry for entry in entries}
    struck = {by_id[entry.fact.event].kind for entry in entries if isinstance(entry.fact, Struck)}
    mouldy = [
        jar
        for jar in shelf.batches
        if isinstance(jar, Jar)
        and isinstance(jar.end, DiscardedEnd)
        and jar.look
        and "mould" in jar.look.signs
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
        if isinstance(entry.fact, Blended) and {part.about.jar for part in entry.fact.parts} & held:
            held.add(entry.id)
    given = [
        entry
        for entry in entries
        if isinstance(entry.fact, Dispensed) and entry.fact.about.jar in held
    ]
    shelf = shelf_on(LAST)

    assert held == {recall.about.jar, *recall.jars}
    assert len(recall.jars) == 4
    assert all((shelf.jars | shelf.blends)[jar_id].on_hold for jar_id in recall.jars)
    assert shelf.lots[recall.about.jar].recalled
    assert len(given) >= 5


def test_no_lot_is_used_beyond_what_there_was():
    shelf = shelf_on(LAST)

    assert not overdrawn(list(shelf.lots.values()), shelf.batches)
    assert any(lot.paid for lot in shelf.lots.values())
