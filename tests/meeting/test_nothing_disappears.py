"""Whatever is corrected, struck or settled: every line stays in the history and the record."""

import json
import tempfile
from datetime import UTC
from pathlib import Path

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.hypothesis_profile import USUAL
from tests.journal.on_disk import a_bench, write
from tests.lives import OneJar, Pen, a_charge, books
from tracker.cli.desk import Desk
from tracker.cli.verbs.looking.histories import told_of
from tracker.cli.verbs.paper.batch_record import batch_record
from tracker.core.facts.amendments import SameAs, Struck
from tracker.core.facts.ties import WHOLE_SHELF
from tracker.core.replay.families import families
from tracker.core.replay.replay import replay
from tracker.core.values.errors import MisusedError
from tracker.outputs.records.batch_sections import sections
from tracker.outputs.records.batch_text import text
from tracker.outputs.terminal.history_table import history_fields
from tracker.outputs.terminal.table import width

LATE = "2026-02-02"


@st.composite
def amended_books(draw):
    """A book, and then some more strikes, and happenings that are said to be the same."""
    entries = draw(books())
    pen = Pen("later-carl", max(one.recorded for one in entries))
    for _ in range(draw(st.integers(0, 3))):
        first, second = draw(st.sampled_from(entries)), draw(st.sampled_from(entries))
        jars = tuple(dict.fromkeys([*first.jars, *second.jars]))
        same = SameAs(event=second.id, stands=first.id, jars=jars, why="twice")
        struck = Struck(event=first.id, jars=first.jars, why="never was")
        pen.write(draw(st.sampled_from([same, struck])), LATE)
    return [*entries, *pen.entries]


@given(amended_books())
@USUAL
def test_every_line_of_a_family_is_in_its_history_and_in_its_record(entries):
    shelf = replay(entries)
    with tempfile.TemporaryDirectory() as home:
        bench = a_bench(Path(home))
        write(bench.book, entries)
        desk = Desk(bench)
        for jar_id, family in families(entries, lambda one: one).items():
            if jar_id == WHOLE_SHELF:
                continue
            ids = {one.id for one in family}
            shelved = (shelf.jars | shelf.blends).get(jar_id) or shelf.lots.get(jar_id)
            code = family[0].subject if shelved is None else shelved.code

            _, _, told = told_of(bench, code)
            told_ids = {str(one["id"]) for one in history_fields(told, bench.names_of(told), {})}
            assert ids <= told_ids
            try:
                _, record = batch_record(desk, code)
            except MisusedError:
                assert jar_id in shelf.lots or code in {x.code for x in shelf.lots.values()}
                continue
            data = json.loads(msgspec.json.encode(record))
            assert ids <= {one["id"] for one in data["steps"]}
            names = bench.names_of(family)
            assert {names[one] for one in ids} <= set(lines_told(record))
            assert max(map(width, text(record, [], UTC, colour=False))) <= 80


def lines_told(record):
    """What the lines are called that stand in the last table of a record, runs told apart."""
    (steps,) = (one for one in sections(record, [], UTC) if one.head == "Every step")
    for row in steps.rows:
        many = (para.text for cell in row for para in cell if para.text.startswith("lines "))
        told = next(many, row[-1][0].text)  # very many do not stand in a narrow column
        for writers in told.removeprefix("lines ").split("; "):
            writer = writers.rstrip("0123456789–, ")
            for run in writers.removeprefix(writer).split(", "):
                first, _, last = run.partition("–")
                yield from (f"{writer}{n}" for n in range(int(first), int(last or first) + 1))


def test_a_jar_whose_charge_was_struck_still_has_a_history_and_a_record(command):
    one = OneJar.charged()
    one.press()
    write(command.book, one.entries)
    command.ok(f"strike {one.charge.id} --why 'never was' --sure")

    history = command.told("history CAOF-25-01")
    record = command.json("record CAOF-25-01")

    assert "STRUCK by" in history
    assert "pressed 370 ml" in history
    assert record["state"] == "taken out"
    assert [one["kind"] for one in record["steps"]] == ["charged", "pressed", "struck"]
    assert record["components"] == []


def test_a_code_taken_over_by_another_jar_still_tells_of_the_first(command):
    pen = Pen()
    one, two = OneJar(pen), OneJar(pen)
    one.charge = pen.write(a_charge(), "2025-03-03")
    two.charge = pen.write(a_charge(herb_g=77.0), "2025-03-04")
    write(command.book, pen.entries)
    command.ok(f"strike {one.charge.id} --why 'never was' --sure")

    history = command.told("history CAOF-25-01")

    assert "charged 100 g" in history
    assert "charged 77 g" in history


@pytest.mark.parametrize("verb", ["history", "record"])
def test_a_struck_code_that_longer_ones_begin_with_is_told_by_itself(command, verb):
    pen = Pen()
    charges = [
        pen.write(a_charge(code=code), "2025-03-03")
        for code in ("CAOF-25-01", "CAOF-25-010", "CAOF-25-011")
    ]
    write(command.book, pen.entries)
    command.ok(f"strike {charges[0].id} --why 'never was' --sure")

    answer = command.json(f"{verb} CAOF-25-01")

    steps = answer if verb == "history" else answer["steps"]
    assert {one["id"] for one in steps} >= {charges[0].id}
    assert charges[1].id not in {one["id"] for one in steps}


def test_a_code_that_was_corrected_still_leads_to_its_jar(command):
    one = OneJar.charged()
    write(command.book, one.entries)
    command.ok(f"correct {one.charge.id} --set code=CAOF-25-09 --why 'misread the label'")

    assert "CORRECTED" in command.told("history CAOF-25-01")
    assert command.json("record CAOF-25-01")["code"] == "CAOF-25-09"
