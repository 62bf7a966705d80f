"""The read model answers as a full replay does, whatever happens to book or cache."""

import os
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterable, Iterator
from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.hypothesis_profile import SHORT
from tests.journal.on_disk import a_bench, file_of, put, write
from tests.lives import CELLAR, KITCHEN, OneJar, Pen, a_charge, books, on
from tracker.bench.bench import Bench
from tracker.core.facts.amendments import Noted, Struck
from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import Blended
from tracker.core.facts.jars import Charged, Found, Joined, Split
from tracker.core.facts.ties import children
from tracker.core.replay.replay import replay
from tracker.core.shelf.shelf import Shelf
from tracker.journal.read import read_book
from tracker.outputs.words.flags import flag_text

ROOT = Path(__file__).parents[3]


def replayed(home: Path) -> Shelf:
    """The shelf from every line, without the read model."""
    return replay(one.entry for one in read_book(home / "book")[0])


def as_labelled(home: Path, ids: Iterable[str]) -> dict[str, str]:
    """The code each jar must be shown by, in the order the jars were written down.

    Reckoned from what opens them alone: of jars with one code the first written down keeps
    it, and the others take b, c, … in that order.
    """
    births = {
        jar_id: (one.recorded, one.source, one.sequence, place, code)
        for one in (placed.entry for placed in read_book(home / "book")[0])
        for place, (jar_id, code) in enumerate(opened_by(one))
        if jar_id in ids
    }
    shown: dict[str, str] = {}
    for jar_id, (*_, code) in sorted(births.items(), key=lambda birth: birth[1]):
        place = sum(label.startswith(code) for label in shown.values())
        shown[jar_id] = code + "abcdefghijklmnopqrstuvwxyz"[place] * (place > 0)
    return shown


def opened_by(entry: Entry) -> list[tuple[str, str]]:
    """The jars an entry opens, each with the code it was given."""
    fact = entry.fact
    if isinstance(fact, Charged | Found | Joined | Blended):
        return [(entry.id, fact.code)]
    if isinstance(fact, Split):
        codes = [part.code for part in fact.into]
        return list(zip(children(entry.id, fact), codes, strict=True))
    return []


def check(home: Path) -> None:
    """Every answer of the model against the lines."""
    bench, shelf = a_bench(home), replayed(home)
    answered = bench.batches()
    every = shelf.jars | shelf.blends

    assert {one.id: one for one in answered} == every
    assert {jar.id: jar.code for jar in answered} == as_labelled(home, every)
    assert [jar.id for jar in answered] == list(as_labelled(home, every))
    assert [bench.batch(jar.id) for jar in answered] == answered
    assert bench.batches(live_only=True) == [one for one in answered if one.is_live]
    assert bench.jars() == [one for one in answered if one.id in shelf.jars]
    assert bench.jars(live_only=True) == [one for one in bench.jars() if one.is_live]
    assert sorted(bench.codes()) == sorted(jar.code for jar in answered)
    assert set(bench.unplaced()) == set(shelf.unplaced)
    found = {one for one in bench.damages() if not one.gone}
    assert found == set(read_book(home / "book")[1])


# After every change of the book


@SHORT
@given(books(), st.data())
def test_after_any_appends_the_model_answers_as_a_full_replay(book, data):
    """Some lines, an answer, some more lines: by two writers, amendments and all."""
    with tempfile.TemporaryDirectory() as folder:
        home, start = Path(folder), 0
        while start < len(book):
            end = start + data.draw(st.integers(1, 8))
            write(home / "book", book[start:end])
            check(home)
            start = end


@SHORT
@given(books(), st.data())
def test_after_files_that_arrive_late_or_are_replaced_the_model_answers_as_a_full_replay(
    book, data
):
    """A synchronising tool brings whole files, older or newer, in any order."""
    with tempfile.TemporaryDirectory() as folder:
        home, versions = Path(folder), []
        for end in range(0, len(book) + 1, 5):
            write(home / "book", book[max(end - 5, 0) : end])
            versions.append({one: one.read_bytes() for one in _files(home)})
        write(home / "book", book[len(book) // 5 * 5 :])
        check(home)
        for _ in range(3):
            for path, lines in data.draw(st.sampled_from(versions)).items():
                put(path, lines)
            check(home)


def _files(home: Path) -> Iterator[Path]:
    yield from (home / "book" / "events").glob("*.jsonl")


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A book of one pressed jar by one writer, its model made."""
    one = OneJar.charged("2025-03-03")
    one.shake("2025-03-04", "2025-03-05")
    one.press("2025-06-03", ml=370.0)
    write(tmp_path / "book", one.entries)
    check(tmp_path)
    return tmp_path


def test_deleting_the_model_changes_no_answer(home):
    before = a_bench(home).jars()
    for file in (home / "cache").iterdir():
        file.unlink()

    assert a_bench(home).jars() == before
    check(home)


def test_the_model_is_made_once_and_then_only_read(home):
    """Where the book has not changed nothing is written: a warm answer costs one reading."""
    model = a_bench(home).model.file
    before = model.stat().st_mtime_ns, model.read_bytes()
    check(home)

    assert (model.stat().st_mtime_ns, model.read_bytes()) == before


def test_a_new_writers_file_is_seen(home):
    write(home / "book", [Pen(CELLAR).write(a_charge(code="MEOF-25-01"), "2025-04-01")])
    check(home)

    assert a_bench(home).codes() == ["CAOF-25-01", "MEOF-25-01"]


def test_a_writers_file_that_is_gone_is_forgotten(home):
    write(home / "book", [Pen(CELLAR).write(a_charge(code="MEOF-25-01"), "2025-04-01")])
    check(home)
    file_of(home / "book", CELLAR).unlink()
    check(home)

    assert a_bench(home).codes() == ["CAOF-25-01"]


def _edit(was: bytes, becomes: bytes) -> Callable[[bytes], bytes]:
    return lambda lines: lines.replace(was, becomes, 1)


EDITS = {
    "a digit in the last line": _edit(b"370.0", b"470.0"),
    "a digit in a line before": _edit(b'"herb_g":100.0', b'"herb_g":900.0'),
    "a longer number": _edit(b'"herb_g":100.0', b'"herb_g":1000.0'),
    "a line taken out": lambda lines: b"".join(lines.splitlines(keepends=True)[::2]),
    "the end cut off": lambda lines: lines[:-200],
    "all of it gone": lambda lines: b"",
}


@pytest.mark.parametrize("how", ["renamed over it", "written in place"])
@pytest.mark.parametrize("edit", EDITS)
def test_a_file_that_was_edited_is_read_anew(home, edit, how):
    """However small the edit: what is shown is what the lines say, damage included."""
    path = file_of(home / "book")
    changed = EDITS[edit](path.read_bytes())
    if how == "renamed over it":
        put(path, changed)
    else:
        path.write_bytes(changed)
        stamp = path.stat().st_mtime_ns + 1_000_000
        os.utime(path, ns=(stamp, stamp))  # clocks of file systems are coarse

    check(home)


def test_a_file_edited_before_and_longer_after_is_read_anew(home):
    """A tool merged: one old line differs, and new lines follow."""
    path = file_of(home / "book")
    one = OneJar.charged("2025-03-03")
    more = Noted(about=one.jar, note="smells of hay")
    old = path.read_bytes()
    write(home / "book", [Entry("late-0001", KITCHEN, 9, "CAOF-25-01", on("2025-07-01"),
                       one.pen.recorded, more)])  # fmt: skip
    put(path, EDITS["a digit in a line before"](path.read_bytes()))
    assert len(path.read_bytes()) > len(old)

    check(home)


def test_a_line_still_being_written_is_read_once_it_is_whole(home):
    path = file_of(home / "book")
    whole = path.read_bytes()
    write(home / "book", [Pen(CELLAR).write(a_charge(code="MEOF-25-01"), "2025-04-01")])
    path.write_bytes(whole[:-30])
    check(home)
    path.write_bytes(whole)
    check(home)

    assert len(a_bench(home).jars()) == 2


# Two jars with one code


def two_machines(first: str, second: str) -> list[Entry]:
    """Both gave the code CAOF-25-01 while apart; the cellar wrote its own down first."""
    early = Pen(CELLAR).write(a_charge(herb_g=50.0), first)
    late = Pen(KITCHEN, early.recorded + timedelta(days=1)).write(a_charge(), second)
    return [late, early]


@pytest.mark.parametrize("backwards", [False, True])
def test_of_two_jars_with_one_code_the_later_is_shown_with_a_letter_and_a_flag(tmp_path, backwards):
    """Whichever file arrives first, and whichever jar was charged first."""
    days = ("2025-03-03", "2025-03-10")
    for entry in two_machines(*(reversed(days) if backwards else days)):
        write(tmp_path / "book", [entry])
        check(tmp_path)
    shown = {jar.code: jar for jar in a_bench(tmp_path).jars()}

    assert {code: jar.herb_g for code, jar in shown.items()} == {
        "CAOF-25-01": 50.0,
        "CAOF-25-01b": 100.0,
    }
    assert shown["CAOF-25-01"].flags == []
    assert "CAOF-25-01b" in flag_text(shown["CAOF-25-01b"].flags[0])


def test_each_of_two_jars_with_one_code_is_found_by_what_is_shown(tmp_path):
    write(tmp_path / "book", two_machines("2025-03-03", "2025-03-10"))
    bench = a_bench(tmp_path)

    assert bench.find("CAOF-25-01").jar.herb_g == 50.0
    assert bench.find("caof-25-01b").jar.herb_g == 100.0


def test_the_letter_goes_when_the_first_jar_is_struck(tmp_path):
    late, early = two_machines("2025-03-03", "2025-03-10")
    write(tmp_path / "book", [late, early])
    strike = Struck(event=early.id, jars=early.jars, why="never was")
    write(tmp_path / "book", [Pen("attic-cleo", late.recorded).write(strike, "2025-04-01")])
    check(tmp_path)

    assert [(jar.code, jar.flags) for jar in a_bench(tmp_path).jars()] == [("CAOF-25-01", [])]


def test_as_of_an_earlier_day_two_jars_with_one_code_are_still_told_apart(tmp_path):
    write(tmp_path / "book", two_machines("2025-03-03", "2025-03-10"))
    write(tmp_path / "book", [Pen("attic-cleo").write(a_charge(code="MEOF-25-01"), "2025-06-01")])
    jars = a_bench(tmp_path).jars(on=date(2025, 4, 1))

    assert sorted(jar.code for jar in jars) == ["CAOF-25-01", "CAOF-25-01b"]
    assert a_bench(tmp_path).find("CAOF-25-01b", on=date(2025, 4, 1)).jar.herb_g == 100.0


# A cache that cannot be used


def test_a_missing_cache_folder_is_made(home):
    bench = Bench(home / "book", cache=home / "a" / "b" / "c", state=home / "state")

    assert bench.jars() == a_bench(home).jars()
    assert bench.model.file.exists()


def test_a_cache_folder_that_cannot_be_made_still_answers(home):
    (home / "occupied").write_text("a file where the folder would be")
    bench = Bench(home / "book", cache=home / "occupied" / "cache", state=home / "state")

    assert bench.jars() == a_bench(home).jars()
    assert bench.find("CAOF-25-01A").extract.pressed_ml == 370.0


@pytest.mark.parametrize("junk", [b"", b"not a database at all\n" * 400, b"SQLite format 3\0"])
@pytest.mark.parametrize("changed", [False, True])
def test_a_model_that_is_no_model_is_made_anew(home, junk, changed):
    """A disk that filled, or a crash, left half a file in the cache."""
    model = a_bench(home).model.file
    before = a_bench(home).jars()
    model.write_bytes(junk)
    if changed:
        write(home / "book", [Pen(CELLAR).write(a_charge(code="MEOF-25-01"), "2025-04-01")])

    assert before[0] in a_bench(home).jars()
    check(home)


READING = """
import os, sys
from pathlib import Path
from tracker.bench.bench import Bench
home = Path(sys.argv[1])
def answer(cache):
    jars = Bench(home / "book", cache=cache, state=home / "state").jars()
    return [(jar.code, jar.shakes) for jar in jars]
answer(home / "book" / "practice.toml")  # imports all there is, while it may be read
if os.geteuid() == 0:
    os.setgid(65534)
    os.setuid(65534)
try:
    (home / "cache" / "probe").write_text("")
    sys.exit("the folder can be written")
except OSError:
    pass
print(answer(home / "cache"))
"""


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such permissions")
@pytest.mark.parametrize("state", ["no model", "a current model", "an old model"])
def test_a_cache_folder_that_is_read_only_still_answers(state):
    """As somebody without rights there: root, where tests run as root, is put aside."""
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        one = OneJar.charged("2025-03-03")
        write(home / "book", one.entries)
        (home / "book" / "practice.toml").write_text("")
        (home / "cache").mkdir()
        if state != "no model":
            assert len(a_bench(home).jars()) == 1
        if state != "a current model":
            one.shake("2025-03-04")
            write(home / "book", one.entries[-1:])
        for path in (home, *home.rglob("*")):
            path.chmod(0o555 if path.is_dir() else 0o444)
        ran = subprocess.run(
            [sys.executable, "-c", READING, home],
            cwd=ROOT, capture_output=True, text=True, check=False,
        )  # fmt: skip
        for path in (home, *home.rglob("*")):
            path.chmod(0o755)

    shakes = 0 if state == "a current model" else 1
    assert ran.returncode == 0, ran.stderr
    assert ran.stdout.strip() == f"[('CAOF-25-01', {shakes})]"
