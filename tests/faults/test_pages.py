"""A page of many lines under fire: all of its events are in the book, or none."""

import os
import signal
import subprocess

import pytest
from msgspec.structs import replace

from tests.faults.injecting import MOST_STEPS, missing, small_disk, stopped, strace
from tests.journal.on_disk import check_chain, put, some, write
from tracker.journal.read import read_book

pytestmark = pytest.mark.thorough

PAGE = [f"a page of several lines, {number} {'x' * 400}" for number in range(30)]


@pytest.fixture
def page(log):
    """A book of one charge, and beside it a page of thirty remarks."""
    lines = (f"note CAOF-25-01 '{text}'\n" for text in PAGE)
    (log.command.home / "page.txt").write_text("".join(lines))
    return log


def notes(log):
    """What the book holds of the page, as the reader takes it."""
    return [
        one.entry.fact.note for one in read_book(log.command.book)[0] if one.entry.kind == "noted"
    ]


@pytest.mark.parametrize("call", ["openat", "read", "write", "fsync", "close"])
def test_killed_at_any_step_the_page_is_in_the_book_whole_or_not_at_all(page, call):
    ended = []
    for step in range(1, MOST_STEPS):
        fault = strace(f"{call}:signal=SIGKILL:when={step}", path=page.file)
        done = page.command.run("enter page.txt", under=fault)
        ended.append(done.code)
        assert "Traceback" not in done.err
        assert notes(page) == PAGE * (len(notes(page)) // len(PAGE))
        assert page.command.run("check").code == 0
        if done.code == 0:
            break

    assert ended[-1] == 0
    assert len(ended) > 1
    # Once acknowledged; and once more where the kill came after the write.
    assert notes(page)[-len(PAGE) :] == PAGE
    check_chain(page.file)
    assert list(page.file.parent.iterdir()) == [page.file]


def test_killed_after_a_part_of_the_page_was_written_none_of_it_counts(page):
    """A file that may grow by so much only: the system writes what fits; then the kill."""
    if subprocess.run(["prlimit", "--version"], capture_output=True, check=False).returncode:
        missing("prlimit is not installed (Debian: util-linux)")
    _long_before(page)
    before, seen = page.file.read_bytes(), notes(page)
    limit = ("prlimit", f"--fsize={len(before) + 9000}", "--")
    kill = strace("write:signal=SIGKILL:when=2", path=page.file)

    assert page.command.run("enter page.txt", under=(*kill[:-1], "--", *limit)).code != 0
    cut = page.file.read_bytes()
    assert (cut[: len(before)], len(cut)) == (before, len(before) + 9000)
    assert cut[len(before) :].count(b"\n") > 3
    assert notes(page) == seen
    checked = page.command.run("check")
    assert checked.code == 0
    assert "lines of a longer unit" in checked.out

    page.command.ok("enter", str(page.command.home / "page.txt"))
    assert notes(page) == [*seen, *PAGE]
    check_chain(page.file)
    assert [one.read_bytes() for one in page.command.state.rglob("*.torn")] == [cut[len(before) :]]


def _long_before(page):
    """Make the file longer than the read model, which the limit holds for as well."""
    write(
        page.command.book,
        [replace(one, source="bench") for one in some(200)],
    )


@pytest.mark.parametrize("fault", ["write:error=ENOSPC", "fsync:error=EIO", "write:error=EIO"])
def test_a_disk_that_refuses_a_page_keeps_nothing_of_it(page, fault):
    before = page.command.written()
    done = page.command.run("enter page.txt", under=strace(f"{fault}:when=1", path=page.file))

    assert done.code == 1
    assert "nothing was recorded" in done.err
    assert (done.out, page.command.written()) == ("", before)


def test_a_disk_without_room_for_all_of_a_page_keeps_none_of_it(page, tmp_path):
    """64 kB: a true short write, and then ENOSPC."""
    whole = page.file.read_bytes()
    with small_disk(tmp_path / "small") as disk:
        events = disk / "events"
        events.mkdir()
        (events / page.file.name).write_bytes(whole)
        (disk / "filler").write_bytes(b"x" * (48 << 10))
        page.command.env["STILLROOM_BOOK"] = str(disk)
        done = page.command.run("enter page.txt", typed="")

        assert done.code == 1
        assert "No space left" in done.err
        assert [one.name for one in events.iterdir()] == [page.file.name]
        assert (events / page.file.name).read_bytes() == whole


def test_a_file_renamed_over_ours_while_the_page_is_written_is_the_one_that_gets_it(page):
    """What was written to the old one is nowhere, and is written again to the one there now."""
    whole, log = page.file.read_bytes(), page.command.home / "calls"
    under = strace("fsync:signal=SIGSTOP:when=1", path=page.file, log=log)
    process = page.command.start("enter page.txt", under=under)
    held = stopped(process, log)
    assert page.file.stat().st_size > len(whole) + 9000
    put(page.file.with_name("other.jsonl"), whole)
    page.file.with_name("other.jsonl").replace(page.file)
    os.kill(held, signal.SIGCONT)
    _, err = process.communicate(timeout=60)

    assert process.returncode == 0, err
    assert notes(page) == PAGE
