"""The writer's name: one for one person on one machine, whatever became of the file it is in."""

import os
import threading
from itertools import count
from pathlib import Path

import pytest

from tracker.bench.writer import Writer, writer_of
from tracker.core.values.errors import BookError, MisusedError
from tracker.journal.own_head import NAME, OwnEnd, remember

HERE, THERE = "1" * 32, "2" * 32


@pytest.fixture(autouse=True)
def no_own_word(monkeypatch):
    monkeypatch.delenv("STILLROOM_WRITER", raising=False)


@pytest.fixture
def ids():
    numbers = count(0xA0)
    return lambda: f"0190-{next(numbers):08x}"


@pytest.fixture
def state(tmp_path) -> Path:
    return tmp_path / "state"


def on(machine: str | None):
    return lambda: machine


def test_a_name_once_made_stays(state, ids):
    first = writer_of(state, ids, on(HERE))

    assert first.remark is None
    assert [writer_of(state, ids, on(HERE)).name for _ in range(3)] == [first.name] * 3
    assert (state / "writer").stat().st_mode & 0o777 == 0o600


def test_of_two_first_commands_at_once_both_have_one_name(state, ids):
    made: list[Writer] = []
    begin = threading.Barrier(8)

    def make() -> None:
        begin.wait()
        made.append(writer_of(state, ids, on(HERE)))

    threads = [threading.Thread(target=make) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert len(made) == 8
    assert len({one.name for one in made}) == 1
    assert not list(state.glob("*aside*"))


@pytest.mark.parametrize(
    ("held", "why"),
    [
        (b"", "empty"),
        (b"\n", "empty"),
        (b"\x00\xff\xfe", "not text"),
        (b"!!!\n", "not text"),
        (b"anna\x00bo\n", "not text"),
        (b"a" * 5000, "too long"),
    ],
)
def test_a_spoilt_file_is_no_name_and_is_set_aside(state, ids, held, why):
    """An empty file once made `writer` of every machine."""
    state.mkdir()
    (state / "writer").write_bytes(held)
    found = writer_of(state, ids, on(HERE))

    assert found.name not in ("", "writer", "a" * 40)
    assert why in (found.remark or "")
    assert (state / "writer.set-aside-1").read_bytes() == held
    assert writer_of(state, ids, on(HERE)) == Writer(found.name, found.machine)


@pytest.mark.parametrize("stands", ["folder", "link", "pipe"])
def test_what_is_no_plain_file_is_set_aside(state, ids, stands):
    state.mkdir()
    if stands == "folder":
        (state / "writer").mkdir()
    elif stands == "link":
        (state / "other").write_text("another\n")
        (state / "writer").symlink_to(state / "other")
    else:
        os.mkfifo(state / "writer")
    found = writer_of(state, ids, on(HERE))

    assert found.name != "another"
    assert "writer.set-aside-1" in (found.remark or "")
    assert writer_of(state, ids, on(HERE)).name == found.name


def test_a_state_folder_copied_to_another_machine_makes_a_name_of_its_own_there(state, ids):
    here = writer_of(state, ids, on(HERE))
    there = writer_of(state, ids, on(THERE))

    assert there.name != here.name
    assert "another machine" in (there.remark or "")
    assert writer_of(state, ids, on(THERE)) == Writer(there.name, there.machine)


def test_where_the_machine_is_not_known_the_name_is_used_as_it_is(state, ids):
    nameless = writer_of(state, ids, on(None))
    assert writer_of(state, ids, on(HERE)).name == nameless.name  # and is this machine's from now

    assert writer_of(state, ids, on(None)).name == nameless.name
    assert writer_of(state, ids, on(THERE)).name != nameless.name


def test_a_lost_name_is_found_again_by_the_file_this_machine_wrote(state, ids):
    found = writer_of(state, ids, on(HERE))
    end = OwnEnd(f"{found.name}.jsonl", 3, "d" * 64, machine=found.machine)
    (state / "book-1").mkdir()
    remember(state / "book-1" / NAME, end)
    (state / "writer").write_bytes(b"")

    assert writer_of(state, ids, on(HERE)).name == found.name
    (state / "writer").write_bytes(b"")
    assert writer_of(state, ids, on(THERE)).name != found.name


def test_of_several_names_none_is_guessed(state, ids):
    found = writer_of(state, ids, on(HERE))
    for number in range(2):
        end = OwnEnd(f"elsewhere-0000000{number}.jsonl", 3, "d" * 64, machine=found.machine)
        (state / f"book-{number}").mkdir()
        remember(state / f"book-{number}" / NAME, end)
    (state / "writer").unlink()

    assert not writer_of(state, ids, on(HERE)).name.startswith("elsewhere")


def test_the_makers_own_word_is_used_as_a_name_for_files(state, ids, monkeypatch):
    monkeypatch.setenv("STILLROOM_WRITER", "Anna 2")
    assert writer_of(state, ids).name == "anna-2"

    monkeypatch.setenv("STILLROOM_WRITER", "…/..")
    with pytest.raises(MisusedError, match="needs a letter"):
        writer_of(state, ids)
    assert not state.exists()


def test_a_name_that_cannot_be_kept_is_an_error_that_says_so(tmp_path, ids):
    (tmp_path / "file").write_text("no folder")
    with pytest.raises(BookError, match="cannot be kept"):
        writer_of(tmp_path / "file" / "state", ids, on(HERE))
