"""Text that another writer may send, in every field of every kind: read, or set apart."""

import json
import re

import pytest

from scripts.fuzz import relinked
from tests.core.house import House, examples
from tests.journal.on_disk import a_bench
from tests.lives import OneJar
from tracker.core.facts.entry import Entry
from tracker.journal.check import check
from tracker.journal.file_marks import GENESIS
from tracker.journal.line import write_line
from tracker.journal.read import read_book

NOW = OneJar.charged().entries[0].recorded
EXAMPLES = examples(House())

HOSTILE = {
    "control codes": "a\x1b[2J\x07\r\n\x00b",
    "bidi marks": "\u202e\u2066gnp.exe\u2069",
    "nothing": "",
    "blanks": "   ",
    "two thousand letters": "x" * 2000,
    "many thousand letters": "y" * 20_000,
    "a lone surrogate": "\ud800",
    "a path": "../../../../etc/passwd",
    "a number of five thousand digits": 10**4999,
    "a number beyond any": 10**400,
    "a number below none": -1,
    "nothing at all": None,
    "a list": [],
    "an object": {"a": {}},
    "no number": float("nan"),
}


def places_in(value, path=()):
    """The way to every value in an event."""
    if isinstance(value, dict):
        for name, part in value.items():
            yield from places_in(part, (*path, name))
    elif isinstance(value, list):
        for number, part in enumerate(value):
            yield from places_in(part, (*path, number))
    else:
        yield path


def body_with(event, path, value):
    """The event with another value there, as bytes, its last brace left off."""
    copied = json.loads(json.dumps(event))
    inside = copied
    for step in path[:-1]:
        inside = inside[step]
    inside[path[-1]] = "PUT HERE"
    text = json.dumps(copied, ensure_ascii=False)[:-1]
    put = digits(value) if isinstance(value, int) else json.dumps(value)
    return text.replace('"PUT HERE"', put).encode()


def digits(number):
    """An integer in digits; Python writes none that is so long."""
    try:
        return str(number)
    except ValueError:
        return "9" * 5000


def line_of(fact, number):
    base = OneJar.charged().entries[0]
    entry = Entry(
        f"event-{number:04d}", base.source, number, "CAOF-25-01", base.when, base.recorded, fact
    )
    event = json.loads(write_line(entry, GENESIS)[0])
    del event["digest"]
    return event


@pytest.mark.parametrize("fact", EXAMPLES, ids=lambda fact: fact.kind)
def test_no_text_in_any_field_stops_the_book(tmp_path, fact):
    """Every field of the kind with every such text, one a line, in one book."""
    whole = OneJar.charged().entries[0]
    bodies = [write_line(whole, GENESIS)[0][:-78]]
    event = line_of(fact, 2)
    event["unit"], event["unitplace"] = event["id"], "1/2"
    fields = [path for path in places_in(event) if path[0] != "specversion"]
    bodies += [body_with(event, path, value) for path in fields for value in HOSTILE.values()]
    events = tmp_path / "book" / "events"
    events.mkdir(parents=True)
    (events / "kitchen-anna.jsonl").write_bytes(relinked(bodies))

    placed, damages = read_book(tmp_path / "book")
    assert placed[0].entry == whole
    assert len(bodies) == len({one.line for one in damages}) + len(placed)
    for damage in damages:
        assert damage.kind == "apart"
        assert damage.line > 1
        assert len(damage.why) < 300
    bench = a_bench(tmp_path)
    for one in bench.batches():
        bench.entries_of(one.id)
    bench.questions()
    bench.unplaced()
    check(bench.book, bench.damages(), NOW)


@pytest.mark.parametrize("kind", ["of_later", "charged"])
def test_a_fact_of_a_later_program_may_hold_anything(tmp_path, kind):
    """Its version is later than this program's, or its kind is."""
    whole = OneJar.charged().entries[0]
    event = line_of(whole.fact, 2) | {"type": kind}
    event["data"] = {"v": 2, "jars": [whole.id], "by": "A", "note": "B", "more": 1, "jar": "C"}
    bodies = [write_line(whole, GENESIS)[0][:-78]]
    for path in places_in(event["data"]):
        bodies += [body_with(event, ("data", *path), value) for value in HOSTILE.values()]
    events = tmp_path / "book" / "events"
    events.mkdir(parents=True)
    (events / "kitchen-anna.jsonl").write_bytes(relinked(bodies))

    bench = a_bench(tmp_path)
    assert [one.id for one in bench.batches()] == [whole.id]
    assert len(bench.entries_of(whole.id)) >= 1
    bench.questions()
    bench.unplaced()


def test_every_example_is_of_a_kind_of_its_own():
    kinds = {fact.kind for fact in EXAMPLES}

    assert len(kinds) >= 30
    assert all(re.fullmatch("[a-z_]+", kind) for kind in kinds)
