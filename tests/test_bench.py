"""The bench reckons right, its books are books, and all of it runs."""

import re
import subprocess
import sys
from datetime import datetime
from importlib import import_module
from pathlib import Path

import pytest

from tests.command import Command
from tracker.core.facts.jars import Shaken
from tracker.core.replay.replay import replay
from tracker.journal.read import read_book

SCRIPTS = Path(__file__).parents[1] / "scripts"
EVENTS = 4000
HOLDS = "import time; x = b'x' * (60 << 20); time.sleep(0.5)"
CHILD = f"import subprocess, sys; subprocess.run([sys.executable, '-c', {HOLDS!r}])"


@pytest.fixture(scope="module")
def bench():
    """The modules of the bench by name."""
    with pytest.MonkeyPatch.context() as patch:
        patch.syspath_prepend(str(SCRIPTS))
        found = {name: import_module(f"speed.{name}") for name in ("processes", "rows", "homes")}
        found["book"] = import_module("bench_book")
    return type("Bench", (), found)


@pytest.fixture(scope="module", params=["plain", "mixed"])
def book(request, bench, tmp_path_factory):
    folder = tmp_path_factory.mktemp("books") / request.param
    bench.book.write_book(folder, EVENTS, request.param)
    return folder


def ran(bench, *walls):
    return [bench.processes.Ran(wall, wall / 2) for wall in walls]


def test_a_ratio_is_the_median_of_the_ratios_within_the_rounds(bench):
    """Not the ratio of the medians: a round in which all was slow says nothing."""
    both = {"a": ran(bench, 2.0, 20.0, 3.0), "b": ran(bench, 1.0, 10.0, 1.0)}

    row = bench.rows.ratio("a / b", both, "a", "b", 2.5)

    assert (row.value, row.spread, row.by_cpu, row.takes_s) == (2.0, (2.0, 2.5), 2.0, 3.0)


@pytest.mark.parametrize(
    ("value", "limits", "is_over", "verdict"),
    [
        (1.3, {"reach": 1.3, "then": 1.1}, False, "reached"),
        (1.31, {"reach": 1.3, "then": 1.1}, True, "OVER"),
        (1.1, {"reach": 1.3, "then": 1.1}, False, "all reached"),
        (1.1, {"reach": 1.3}, False, "all reached"),
        (1.2, {"then": 1.1}, False, "not yet"),
        (1.0, {"then": 1.1}, False, "all reached"),
        (99.0, {}, False, ""),
        (9.9, {"reach": 10.0, "at_least": True}, True, "OVER"),
        (10.0, {"reach": 10.0, "at_least": True}, False, "all reached"),
    ],
)
def test_a_row_says_whether_it_reaches_what_it_has_to(bench, value, limits, is_over, verdict):
    row = bench.rows.Row("a row", value, "×", **limits)

    assert (row.is_over, row.verdict) == (is_over, verdict)


def test_one_run_is_its_own_median(bench):
    assert bench.rows.middle([2.0]) == (2.0, (2.0, 2.0))


def test_the_columns_of_the_table_line_up(bench):
    rows = [
        bench.rows.Row("a", 1.234, "×", (1.0, 123.4), 0.0456, 1.5, reach=2),
        bench.rows.Row("memory", 64.04, "MiB", then=64),
    ]
    lines = bench.rows.table(rows).splitlines()

    assert len({len(line) for line in lines}) == 1
    assert [[cell.strip() for cell in line.split("|")[1:-1]] for line in lines[2:]] == [
        ["a", "1.23 ×", "1.00–123", "1.50 ×", "46 ms", "≤ 2", "", "all reached"],
        ["memory", "64.0 MiB", "", "", "", "", "≤ 64", "not yet"],
    ]


def python(bench, code, **more):
    words = (sys.executable, "-c", code)
    return bench.processes.Task(lambda: words, {}, **more)


def test_tasks_take_turns_and_what_is_done_before_each_is_not_timed(bench, tmp_path):
    order = []
    tasks = {
        name: python(bench, "pass", before=lambda name=name: order.append(name)) for name in "ab"
    }

    few = {name: len(runs) for name, runs in bench.processes.rounds(tasks, 2).items()}
    many = {name: len(runs) for name, runs in bench.processes.rounds(tasks, 4).items()}

    assert (few, many) == ({"a": 2, "b": 2}, {"a": 4, "b": 4})
    assert order == ["a", "b"] * (2 + 1 + 4)


def test_a_process_can_be_given_one_core_and_the_bench_keeps_its_own(bench, tmp_path):
    said = tmp_path / "cores"
    code = f"import os; open({str(said)!r}, 'w').write(str(len(os.sched_getaffinity(0))))"
    ours = bench.processes.os.sched_getaffinity(0)

    bench.processes.run(python(bench, code, cores=1))

    assert said.read_text() == "1"
    assert bench.processes.os.sched_getaffinity(0) == ours


def test_a_process_that_fails_is_no_figure(bench):
    with pytest.raises(bench.processes.RunError, match=r"ended with 3: .*no such jar"):
        bench.processes.run(
            python(bench, "import sys; print('no such jar', file=sys.stderr); sys.exit(3)")
        )


def test_answers_that_were_kept_are_told_from_the_read_model(bench, tmp_path):
    home = bench.homes.Home(tmp_path, Path(sys.executable).parent)
    model = {"stillroom/shelf-book.sqlite", "stillroom/shelf-parts/1"}
    for name in (*model, "stillroom/answers/due"):
        path = home.cache / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.touch()
    kept = home.keeps_answers()

    home.forget_answers()

    left = {path.relative_to(home.cache) for path in home.cache.rglob("*") if path.is_file()}
    assert (kept, home.keeps_answers()) == (True, False)
    assert {path.as_posix() for path in left} == model


@pytest.mark.parametrize(
    ("code", "least", "most"),
    [
        ("pass", 5, 30),
        ("b'x' * (60 << 20)", 60, 90),
        (f"y = b'y' * (50 << 20); {CHILD}", 115, 150),
    ],
    ids=["of nothing", "of one process", "of a process and its child"],
)
def test_the_memory_of_a_process_is_its_own(bench, code, least, most):
    """Linux hands what the parent held on to the child's peak."""
    held = b"z" * (200 << 20)

    assert least <= bench.processes.peak_mib(python(bench, code)) <= most
    del held


def test_the_books_hold_so_many_events_are_whole_and_the_same_each_time(bench, book, tmp_path):
    kind = book.name
    bench.book.write_book(tmp_path / "again", EVENTS, kind)
    files = {path.name: path.read_bytes() for path in (book / "events").iterdir()}
    placed, damages = read_book(book)

    assert files == {p.name: p.read_bytes() for p in (tmp_path / "again" / "events").iterdir()}
    assert (len(placed), damages) == (EVENTS, [])
    assert len(files) == {"plain": 1, "mixed": 3}[kind]


def test_every_line_of_the_books_fits(book):
    """A flag that nobody meant would be a fault of the book, and time spent on it no measure."""
    shelf = replay(one.entry for one in read_book(book)[0])

    assert shelf.unplaced == ()
    assert [one.code for one in (*shelf.batches, *shelf.lots.values()) if one.flags] == []


def test_a_mixed_book_has_what_a_plain_one_has_not(book):
    entries = [one.entry for one in read_book(book)[0]]
    kinds = {entry.kind for entry in entries}
    more = {"blended", "bought", "bought_herb", "corrected", "refilled", "struck"}
    is_mixed = book.name == "mixed"

    assert kinds & more == (more if is_mixed else set())
    assert is_mixed == any(isinstance(e.fact, Shaken) and len(e.fact.jars) > 9 for e in entries)
    assert is_mixed == any(entry.when.precision == "day" for entry in entries)
    assert is_mixed == any(entry.when.start < entry.recorded for entry in entries)


def test_what_other_machines_append_line_by_line_is_whole(book, tmp_path):
    later = book.with_name(f"{book.name}.later")
    command = Command(tmp_path)
    (command.book / "events").mkdir(parents=True)
    for path in [*(book / "events").iterdir(), *later.iterdir()]:
        (command.book / "events" / path.name).write_bytes(path.read_bytes())

    assert "every line is as it was written" in command.ok("check")
    assert command.json("check")["lines"] == 4400


def test_the_library_beside_gives_the_answer_the_book_gives(bench, tmp_path):
    """Else it would be timed for less than it is held against."""
    bench.book.write_book(tmp_path / "book", 3000)
    shelf = replay(one.entry for one in read_book(tmp_path / "book")[0])
    expected = {
        jar.code: jar.last_shaken and jar.last_shaken.start
        for jar in shelf.jars.values()
        if jar.is_macerating
    }
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("PERSISTENCE_MODULE", "eventsourcing.sqlite")
        patch.setenv("SQLITE_DBNAME", str(tmp_path / "library.db"))
        patch.syspath_prepend(str(SCRIPTS))
        library = import_module("speed.eventsourced_shelf")
        stored = library.Shelf()
        ids = library.write(tmp_path / "book" / "events", stored)

        found = library.Shelf().last_shaken(ids)

    assert {
        code: datetime.fromisoformat(when) if when else None for code, when in found.items()
    } == expected


@pytest.mark.thorough
def test_the_bench_prints_a_figure_in_every_row():
    words = [sys.executable, str(SCRIPTS / "bench.py"), "--sizes", "500", "--runs", "1"]
    # Not the daemon, which is looked at for minutes (tests/daemon).
    words += ["--only", "asking", "recording", "rebuilding", "late", "page", "library", "paper"]
    done = subprocess.run(words, capture_output=True, text=True)
    rows = [line.split("|")[1:3] for line in done.stdout.splitlines() if line.startswith("| ")]
    figures = [re.fullmatch(r"-?[\d.]+ (×|ms|s|µs|MiB)", figure.strip()) for _, figure in rows[1:]]

    assert done.returncode in (0, 1), done.stderr
    assert len(figures) > 20
    assert all(figures), rows


@pytest.mark.thorough
def test_the_bench_says_what_is_missing(tmp_path):
    words = [sys.executable, str(SCRIPTS / "bench.py"), "--program", str(tmp_path)]
    done = subprocess.run(words, capture_output=True, text=True)

    assert (done.returncode, done.stdout) == (2, "")
    assert f"{tmp_path / 'stillroom'} is not there" in done.stderr
