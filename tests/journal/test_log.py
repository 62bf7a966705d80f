"""Appending to a writer's file: whole and chained, or not at all."""

import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.hypothesis_profile import SHORT
from tests.journal.on_disk import a_bench, check_chain, file_of, read, some, write
from tests.lives import KITCHEN, Pen, a_charge
from tracker.bench.bench import Bench
from tracker.bench.record import record
from tracker.core.facts.jars import Shaken
from tracker.core.rules.recorded import Draft
from tracker.core.values.errors import BookError, TrackerError
from tracker.journal.append import append
from tracker.journal.file_marks import marks
from tracker.journal.read import Placed, read_book, read_on

ROOT = Path(__file__).parents[2]


# Written and read back


def test_what_is_appended_is_read_back_in_order_whole_and_chained(tmp_path):
    entries = some(5)
    first = append(tmp_path, KITCHEN, entries[:2], tmp_path / "spare")
    second = append(tmp_path, KITCHEN, entries[2:], tmp_path / "spare")

    assert [one.entry for one in (*first.entries, *second.entries)] == entries
    assert read(tmp_path) == entries
    lines = check_chain(file_of(tmp_path))
    assert [line["sequence"] for line in lines] == [f"{number:010d}" for number in range(1, 6)]


def test_source_and_sequence_are_the_files_own(tmp_path):
    """Whoever drafts an entry does not know how long the file is."""
    draft = Pen("somebody-else").write(a_charge(), "2025-03-03")
    draft.sequence = 999
    append(tmp_path, KITCHEN, some(3), tmp_path / "spare")
    written = append(tmp_path, KITCHEN, [draft], tmp_path / "spare")

    assert [(one.entry.source, one.entry.sequence) for one in written.entries] == [(KITCHEN, 4)]
    assert read(tmp_path)[-1] == written.entries[0].entry


@SHORT
@given(st.lists(st.integers(0, 4), min_size=1, max_size=6))
def test_what_append_says_it_wrote_is_what_a_reader_finds_there(tmp_path_factory, sizes):
    """Places, numbers and the mark, whatever the units: a model goes on from them unread."""
    entries, book = some(sum(sizes) + 1), tmp_path_factory.mktemp("book")
    said, mark, start = [], None, 0
    for size in [*sizes, 1]:
        written = append(book, KITCHEN, entries[start : start + size], book / "spare")
        assert mark is None or written.before == mark
        said, mark, start = [*said, *written.entries], written.mark, start + size
    found: list[Placed] = []
    (seen,) = marks(book).values()

    assert read_on(book, seen, found, []) == mark
    assert found == said
    check_chain(file_of(book))


def test_no_earlier_byte_ever_changes(tmp_path):
    entries, before = some(6), b""
    for entry in entries:
        append(tmp_path, KITCHEN, [entry], tmp_path / "spare")
        now = file_of(tmp_path).read_bytes()
        assert now.startswith(before)
        assert now.count(b"\n") == before.count(b"\n") + 1
        before = now


def test_two_writers_have_a_file_each_and_are_read_as_one_book(tmp_path):
    anna, bo = some(2), Pen("cellar-bo").write(a_charge(code="MEOF-25-01"), "2025-03-03")
    append(tmp_path, KITCHEN, anna, tmp_path / "spare")
    append(tmp_path, "cellar-bo", [bo], tmp_path / "spare")

    assert {one.id for one in read(tmp_path)} == {*(one.id for one in anna), bo.id}
    assert len(check_chain(file_of(tmp_path))) == 2
    assert len(check_chain(file_of(tmp_path, "cellar-bo"))) == 1


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such permissions")
def test_a_book_is_its_makers_own_to_read(tmp_path):
    append(tmp_path / "book", KITCHEN, some(1), tmp_path / "spare")

    assert (tmp_path / "book" / "events").stat().st_mode & 0o077 == 0
    assert file_of(tmp_path / "book").stat().st_mode & 0o077 == 0


# A tail that a crash cut off


def torn(book: Path, keep: int = 40) -> bytes:
    """Write three lines and a part of a fourth; the part."""
    append(book, KITCHEN, some(3), book / "spare")
    whole = file_of(book).read_bytes()
    fragment = whole.split(b"\n")[1][:keep]
    with file_of(book).open("ab") as file:
        file.write(fragment)
    return fragment


@pytest.mark.parametrize("keep", [1, 40, 10_000])
def test_a_torn_tail_is_set_aside_whole_before_anything_is_appended(tmp_path, keep):
    """Else the fragment and the new line become one, and an acknowledged event is lost."""
    fragment = torn(tmp_path, keep)
    before = file_of(tmp_path).read_bytes().removesuffix(fragment)
    entry = some(4)[3]
    append(tmp_path, KITCHEN, [entry], tmp_path / "spare")

    assert file_of(tmp_path).read_bytes().startswith(before)
    assert len(check_chain(file_of(tmp_path))) == 4
    assert read(tmp_path)[3] == entry
    assert [one.read_bytes() for one in (tmp_path / "spare").iterdir()] == [fragment]


def test_a_second_torn_tail_does_not_overwrite_the_first(tmp_path):
    """Twice in the same place: the power went again while the first append was under way."""
    first = torn(tmp_path, 40)
    second = first[:25]
    append(tmp_path, KITCHEN, [], tmp_path / "spare")
    with file_of(tmp_path).open("ab") as file:
        file.write(second)
    append(tmp_path, KITCHEN, [], tmp_path / "spare")

    kept = {one.read_bytes() for one in (tmp_path / "spare").iterdir()}
    assert kept == {first, second}


def test_a_torn_tail_longer_than_any_line_leaves_the_whole_lines_whole(tmp_path):
    """A disk that filled with zeros after a crash: megabytes without one line feed."""
    append(tmp_path, KITCHEN, some(3), tmp_path / "spare")
    with file_of(tmp_path).open("ab") as file:
        file.write(b"\0" * (3 << 20))
    append(tmp_path, KITCHEN, [some(4)[3]], tmp_path / "spare")

    assert len(check_chain(file_of(tmp_path))) == 4


def test_a_torn_tail_is_not_read_and_hides_nothing_before_it(tmp_path):
    torn(tmp_path)

    assert [one.entry for one in read_book(tmp_path)[0]] == some(3)


def test_a_torn_tail_is_reported_to_whoever_checks_the_book(tmp_path):
    """Cut off, or being written this instant: either way it is not in the book."""
    torn(tmp_path / "book")
    found = a_bench(tmp_path).check()

    assert [(damage.file, damage.line) for damage in found] == [(f"{KITCHEN}.jsonl", 4)]


def test_recording_over_a_torn_tail_keeps_the_fragment_outside_the_book(tmp_path, monkeypatch):
    monkeypatch.setenv("STILLROOM_WRITER", KITCHEN)
    fragment = torn(tmp_path / "book")
    bench = a_bench(tmp_path)
    record(bench, [a_draft(bench)])

    assert len(read(tmp_path / "book")) == 4
    kept = [one for one in bench.state.rglob("*") if one.is_file()]
    assert fragment in [one.read_bytes() for one in kept]


# A disk that refuses


def a_draft(bench: Bench) -> Draft:
    """A jar charged, under a code of its own.

    With a letter at its end: a code of figures alone would count on from another, which is asked.
    """
    event, code = bench.new_id(), f"JAR-{bench.new_id()[-8:]}x"
    entry = Pen(bench.writer).write(a_charge(code=code), "2025-03-03")
    return Draft(event, code, entry.when, entry.fact)


LIMITED = """
import resource, sys
from pathlib import Path
from tests.lives import KITCHEN, OneJar
from tracker.core.values.errors import BookError
from tracker.journal.read import read_book
from tracker.journal.append import append
book, room = Path(sys.argv[1]), int(sys.argv[2])
one = OneJar.charged()
one.shake(*["2025-03-04"] * 20)
path = book / "events" / (KITCHEN + ".jsonl")
limit = (path.stat().st_size if path.exists() else 0) + room
resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
try:
    append(book, KITCHEN, one.entries[3:], book / "spare")
except BookError as refused:
    print(refused)
    sys.exit(1)
"""


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such limit")
@pytest.mark.parametrize("room", [0, 700])
def test_a_file_that_cannot_grow_stays_as_it_was(tmp_path, room):
    """RLIMIT_FSIZE: the system writes what fits, a short write, and then refuses."""
    append(tmp_path, KITCHEN, some(3), tmp_path / "spare")
    before = file_of(tmp_path).read_bytes()
    ran = subprocess.run(
        [sys.executable, "-c", LIMITED, tmp_path, str(room)],
        cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip

    assert ran.returncode == 1, ran.stderr
    assert "nothing was recorded" in ran.stdout
    assert file_of(tmp_path).read_bytes() == before


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such flag")
def test_a_file_that_is_a_symbolic_link_is_not_followed(tmp_path):
    (tmp_path / "events").mkdir()
    (tmp_path / "elsewhere").write_bytes(b"somebody's letter\n")
    file_of(tmp_path).symlink_to(tmp_path / "elsewhere")

    with pytest.raises(BookError):
        append(tmp_path, KITCHEN, some(1), tmp_path / "spare")
    assert (tmp_path / "elsewhere").read_bytes() == b"somebody's letter\n"


def test_a_book_whose_place_is_a_file_is_refused(tmp_path):
    (tmp_path / "book").write_text("not a folder")
    with pytest.raises(BookError) as refused:
        append(tmp_path / "book", KITCHEN, some(1), tmp_path / "spare")
    assert refused.value.do
    assert (tmp_path / "book").read_text() == "not a folder"


def test_an_event_beyond_its_limits_leaves_all_of_the_sheet_unwritten(tmp_path):
    """All or none: the good one before it is not written either."""
    bench = a_bench(tmp_path)
    good = a_draft(bench)
    bad = Draft(bench.new_id(), "CAOF-25-02", good.when, a_charge(herb_g=-1.0))
    with pytest.raises(TrackerError):
        record(bench, [good, bad])

    assert not (tmp_path / "book").exists()


# Several at once

RECORDING = """
import sys
from pathlib import Path
from tests.journal.on_disk import a_bench
from tests.journal.test_log import a_draft
from tracker.bench.record import record
bench = a_bench(Path(sys.argv[1]))
for _ in range(4):
    seen = len(bench.jars())
    record(bench, [a_draft(bench)])
    assert len(bench.jars()) > seen
"""


@pytest.fixture
def recorders(tmp_path: Path) -> Iterator[list[subprocess.Popen[bytes]]]:
    """Three commands at once on one book, one writer."""
    (tmp_path / "book").mkdir()
    running = [
        subprocess.Popen(
            [sys.executable, "-c", RECORDING, tmp_path], cwd=ROOT, stderr=subprocess.PIPE,
            env={**os.environ, "STILLROOM_WRITER": KITCHEN},
        )
        for _ in range(3)
    ]  # fmt: skip
    yield running
    for one in running:
        one.kill()
        one.communicate()


def test_several_commands_at_once_write_one_unbroken_chain(tmp_path, recorders):
    """Each looks and writes under the lock: none appends to what another has half done."""
    for one in recorders:
        _, complaint = one.communicate(timeout=60)
        assert one.returncode == 0, complaint.decode()
    lines = check_chain(file_of(tmp_path / "book"))

    assert [line["sequence"] for line in lines] == [f"{number:010d}" for number in range(1, 13)]
    assert len({line["id"] for line in lines}) == 12
    assert len(read(tmp_path / "book")) == 12


def test_a_shake_of_many_jars_is_one_line_however_long(tmp_path):
    many = tuple(f"jar-{number:05d}" for number in range(20_000))
    entry = Pen().write(Shaken(jars=many), "2025-03-04")
    append(tmp_path, KITCHEN, [entry, some(1)[0]], tmp_path / "spare")
    append(tmp_path, KITCHEN, [some(2)[1]], tmp_path / "spare")

    assert len(check_chain(file_of(tmp_path))) == 3


@pytest.mark.skipif(os.name == "nt", reason="Windows keeps no such modes")
def test_many_lines_leave_a_files_mode_as_it_was(tmp_path):
    first, *page = some(3)
    write(tmp_path, [first])
    file_of(tmp_path).chmod(0o640)
    write(tmp_path, page)

    assert file_of(tmp_path).stat().st_mode & 0o777 == 0o640
