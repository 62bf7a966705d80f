"""Text of other people in every output: nothing in it works unseen, and nothing is lost."""

import csv
import io
import json
import re

import pytest

from tests.command import Command
from tests.outputs.hostile_book import HARM, hostile_book
from tests.outputs.paper.reading import text_of
from tracker.core.values.text import is_plain

ON = "2025-07-02"
SHELF = {
    "shelf": "shelf --done",
    "shelf --json": "shelf --done --json",
    "shelf --csv": "shelf --done --csv",
    "stock": "stock",
    "stock --cost": "stock --cost",
    "stock --json": "stock --json",
    "stock --csv": "stock --csv",
    "due": "due",
    "due --json": "due --json",
    "due --csv": "due --csv",
    "lots": "lots --all",
    "lots --json": "lots --all --json",
    "lots --csv": "lots --all --csv",
    "season": "season",
    "season --json": "season --json",
    "supply": "supply",
    "supply --json": "supply --json",
    "yields by method": "yields --by-method",
    "yields by method --json": "yields --by-method --json",
    "yields": "yields",
    "yields --json": "yields --json",
    "yields --csv": "yields --csv",
    "page": "page",
    "calendar": "calendar",
    "calendar --json": "calendar --json",
    "history of the book": "history",
    "stocktake": "stocktake --sheet",
    "stocktake --json": "stocktake --sheet --json",
    "check": "check",
    "check --json": "check --json",
    "remind": "remind --plain",
    "handout": "handout --to OUT.pdf",
    "season --to svg": "season --to OUT.svg",
    "season --to html": "season --to OUT.html",
    "supply --to": "supply --to OUT.svg",
    "yields --to": "yields --to OUT.svg",
}
THING = {
    "show": "show",
    "show --json": "show --json",
    "history": "history",
    "history --json": "history --json",
    "history --all": "history --all",
    "history --on": "history --on 2025-12-31",
    "trace": "trace",
    "trace --json": "trace --json",
    "record": "record",
    "record --json": "record --json",
    "record --pdf": "record --pdf --to OUT.pdf",
    "timeline": "timeline",
    "timeline --json": "timeline --json",
    "timeline --to": "timeline --to OUT.svg",
    "label": "label --no-record --to OUT.pdf",
    "lid": "label --lid --no-record --to OUT.pdf",
    "hold": "hold --why x --dry-run",
    "shake": "shake --dry-run --sure",
    "dispense": "dispense --dry-run --sure",
    "note": "note x --dry-run",
    "release": "release --why x --dry-run",
}
SAID = {"batches": "batches", "batches --json": "batches --json", "batches --csv": "batches --csv"}


@pytest.fixture(scope="module")
def spoilt(tmp_path_factory) -> Command:
    return hostile_book(Command(tmp_path_factory.mktemp("spoilt")))


@pytest.fixture(scope="module")
def codes(spoilt) -> list[str]:
    bench = spoilt.bench()
    batches = bench.batches()
    extracts = [one.extract_code(each) for one in batches for each in one.extracts]
    lots = [one.code for one in bench.lots()]
    return [*(one.code for one in batches[:5]), *extracts[:2], *lots[:2]]


def check(spoilt: Command, line: str, *more: str) -> None:
    out = spoilt.home / "out"
    answer = spoilt.run(line.replace("OUT", str(out)), *more)
    assert "Traceback" not in answer.err
    written = next((one for one in spoilt.home.glob("out.*")), None)
    if written is not None:
        raw = written.read_bytes()
        written.unlink()
        is_plain_text(text_of(raw) if written.suffix == ".pdf" else raw.decode())
    is_plain_text(answer.out.replace("\r\n", "\n") if line == "calendar" else answer.out)
    is_plain_text(answer.err)
    if "--json" in line and answer.code == 0:
        json.loads(answer.out)
    if "--csv" in line:
        for row in csv.reader(io.StringIO(answer.out)):
            assert not [one for one in row if re.match(r"\s*[=+@\t\r]", one)]


def is_plain_text(text: str) -> None:
    assert not [one for one in text.split("\n") if not is_plain(one)]


@pytest.mark.parametrize("line", SHELF.values(), ids=SHELF)
def test_no_answer_about_the_shelf_works_unseen(spoilt, line):
    check(spoilt, line)


@pytest.mark.parametrize("line", THING.values(), ids=THING)
def test_no_answer_about_a_thing_works_unseen(spoilt, codes, line):
    for code in codes[4:6] if "--to" in line else codes:
        check(spoilt, line, "--", code)


@pytest.mark.parametrize("line", SAID.values(), ids=SAID)
def test_no_answer_about_a_herb_works_unseen(spoilt, line):
    check(spoilt, line, "--", HARM)


def test_json_is_the_same_data(spoilt):
    assert any(HARM in one["code"] for one in spoilt.json("shelf --done"))


def test_a_long_code_leaves_room_for_why(spoilt):
    lines = spoilt.ok("due").splitlines()

    assert "10=\\x1b[2J\\x07" in next(one for one in lines if "on hold: its history is" in one)
    assert max(len(one) for one in lines) <= 80
