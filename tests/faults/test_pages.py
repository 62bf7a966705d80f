"""A page of many lines under fire: all of its events are in the book, or none."""

import time
from pathlib import Path

import pytest

from tests.faults.injecting import MOST_STEPS, small_disk, strace
from tests.journal.on_disk import check_chain, put

pytestmark = pytest.mark.thorough

PAGE = [f"a page of several lines, {number} {'x' * 400}" for number in range(30)]


@pytest.fixture
def page(log):
    """A book of one charge, and beside it a page of thirty remarks."""
    lines = (f"note CAOF-25-01 '{text}'\n" for text in PAGE)
    (log.command.home / "page.txt").write_text("".join(lines))
    return log


def notes(log):
    return [line["data"]["note"] for line in check_chain(log.file) if line["type"] == "noted"]


@pytest.mark.parametrize(
    ("calls", "on"),
    [
        ("openat", "beside"),
        ("write", "beside"),
        ("fsync", "beside"),
        ("close", "beside"),
        ("chmod", "beside"),
        ("rename", "anything"),
        ("openat", "book"),
        ("read", "book"),
        ("fsync", "anything"),
    ],
)
def test_killed_at_any_step_the_page_is_in_the_book_whole_or_not_at_all(page, calls, on):
    beside = page.file.with_name(".bench.jsonl.tmp")
    path = {"beside": beside, "book": page.file}.get(on)
    ended = []
    for step in range(1, MOST_STEPS):
        beside.touch()  # strace follows a name that it has seen; what a kill left is like it
        fault = strace(f"{calls}:signal=SIGKILL:when={step}", path=path)
        done = page.command.run("enter page.txt", under=fault)
        ended.append(done.code)
        assert "Traceback" not in done.err
        assert notes(page) == PAGE * (len(notes(page)) // len(PAGE))
        assert page.command.run("check").code == 0
        if done.code == 0:
            break

    assert ended[-1] == 0
    assert len(ended) > 1
    # Once acknowledged; and once more where the kill came after the rename.
    assert notes(page)[-len(PAGE) :] == PAGE
    assert list(page.file.parent.iterdir()) == [page.file]


@pytest.mark.parametrize("fault", ["write:error=ENOSPC", "fsync:error=EIO", "write:error=EIO"])
def test_a_disk_that_refuses_a_page_keeps_nothing_of_it(page, fault):
    before = page.command.written()
    beside = page.file.with_name(".bench.jsonl.tmp")
    beside.touch()
    done = page.command.run("enter page.txt", under=strace(f"{fault}:when=1", path=beside))

    assert done.code == 1
    assert "nothing was recorded" in done.err
    assert (done.out, page.command.written()) == ("", before)


def test_a_disk_without_room_for_a_second_copy_keeps_the_first(page, tmp_path):
    """A page needs as much room as the writer's file has, for a moment."""
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


def test_a_file_renamed_over_ours_while_the_copy_is_made_is_the_one_that_is_kept(page):
    """The copy goes away, and the page is written to the file that is there now."""
    beside = page.file.with_name(".bench.jsonl.tmp")
    beside.touch()
    whole = page.file.read_bytes()
    # strace holds the process for a while as it leaves the fsync of the copy.
    under = strace("fsync:delay_exit=1000000", path=beside)
    process = page.command.start("enter page.txt", under=under)
    end = time.monotonic() + 30
    while _size(beside) < 9000 and time.monotonic() < end:
        assert process.poll() is None, process.communicate()
    put(page.file.with_name("other.jsonl"), whole)
    page.file.with_name("other.jsonl").replace(page.file)
    _, err = process.communicate(timeout=60)

    assert process.returncode == 0, err
    assert notes(page) == PAGE


def _size(path: Path) -> int:
    try:
        return path.stat().st_size
    except FileNotFoundError:
        return 0
