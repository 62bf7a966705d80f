"""A read model that is broken, in the way, or somebody else's is never believed and never stops."""

import os
import shutil
import sqlite3
import subprocess
import sys
from contextlib import closing
from itertools import count
from pathlib import Path

import pytest

from tests.cli.test_odd_books import _without_the_powers_of_root
from tests.faults.breaking_models import BrokenModels, answers
from tests.faults.injecting import MOST_STEPS, small_disk, strace
from tests.journal.on_disk import write
from tests.lives import Pen, a_charge
from tracker.bench.record import commit, opened
from tracker.core.values.errors import TrackerError
from tracker.journal.model.known_ends import heads_known, read_heads
from tracker.journal.model.read_model import batches
from tracker.journal.model.sealed_model import FAULTS, BrokenModelError, SealedModel

ASKING = (
    "shelf --json", "due", "show CAOF-25-01", "history CAOF-25-01", "lots --json", "check",
)  # fmt: skip
SHAKE = "shake CAOF-25-02 --when 2025-03-10"


def model_of(command) -> Path:
    return command.bench().model.file


def told(command, **how) -> list[tuple[int, str, str]]:
    """What every asking verb says."""
    runs = [command.run(line, **how) for line in ASKING]
    assert not any("Traceback" in one.err for one in runs)
    return [(one.code, one.out, one.err) for one in runs]


@pytest.fixture
def warm(worked):
    """The worked book with its model made, and what is said of it."""
    worked.right = told(worked)
    return worked


def test_a_model_broken_anywhere_answers_as_a_good_one(worked):
    models = BrokenModels(worked.home)
    for seed in range(40):
        models.break_one(seed)


def test_sums_are_what_finds_it(worked, monkeypatch):
    """The same breaks, believed: else the test above could not fail."""
    monkeypatch.setattr(
        SealedModel, "part", lambda self, table, number, _: self._body(table, number)
    )
    models = BrokenModels(worked.home)

    with pytest.raises((AssertionError, TrackerError, *FAULTS)):
        [models.break_one(seed) for seed in range(200)]


@pytest.mark.parametrize("line", [*ASKING, SHAKE])
def test_a_state_that_was_edited_is_not_shown(worked, line):
    """One query of one program: 370 ml become 470 ml, in a state that decodes."""
    good = worked.run(line) if line in ASKING else None
    worked.ok("shelf")
    with closing(sqlite3.connect(model_of(worked))) as connection, connection:
        connection.execute(
            "UPDATE states SET body = CAST(replace(CAST(body AS TEXT), '370.0', '470.0') AS BLOB)"
        )

    said = worked.run(line)
    assert said.code == 0
    assert good is None or said == good
    assert "470" not in worked.ok("show CAOF-25-01")


def test_a_line_changed_unseen_is_named_when_it_is_read(warm):
    """Size, times and inode are as they were; its bytes are not."""
    (events,) = (warm.book / "events").glob("*.jsonl")
    before = events.stat()
    with events.open("r+b") as file:
        whole = file.read()
        file.seek(whole.index(b'"volume_ml":370.0') + len(b'"volume_ml":'))
        file.write(b"470.0")
    os.utime(events, ns=(before.st_atime_ns, before.st_mtime_ns))

    said = warm.ok("history CAOF-25-01")
    assert "470" not in said
    assert warm.bench().damages()
    assert "INCOMPLETE" in (answer := warm.run("shelf")).err + answer.out


def test_a_line_that_keeps_changing_is_an_error_that_says_so(warm, monkeypatch):
    sums = count()
    monkeypatch.setattr("tracker.journal.read_places.crc32", lambda _: next(sums))

    said = warm.refused("history CAOF-25-01")
    assert "is being changed while it is read" in said
    assert "pause the program that syncs" in said


# What is in the way of a model


def in_its_place(kind):
    def put(command):
        file = model_of(command)
        file.parent.mkdir(parents=True, exist_ok=True)
        file.unlink(missing_ok=True)
        if kind == "a folder":
            (file / "inside").mkdir(parents=True)
        elif kind == "a dangling link":
            file.symlink_to(command.home / "nowhere")
        elif kind == "a link to a good model":
            command.ok("shelf")
            file.rename(command.home / "elsewhere")
            file.symlink_to(command.home / "elsewhere")
        elif kind == "a pipe":
            os.mkfifo(file)
        elif kind == "a folder beside it":
            command.ok("shelf")
            file.with_name(f"{file.name}-journal").mkdir()
        else:
            shutil.rmtree(command.cache)
            command.cache.write_text("a file where the cache folder would be")

    return put


@pytest.mark.parametrize(
    "kind",
    ["a folder", "a dangling link", "a link to a good model", "a pipe", "a folder beside it",
     "a file for a cache"],
)  # fmt: skip
def test_what_stands_in_the_way_of_the_model_is_left_and_everything_answered(warm, kind):
    in_its_place(kind)(warm)

    assert told(warm) == warm.right
    assert warm.run(SHAKE).code == 0
    assert warm.lines()[-1]["type"] == "shaken"


@pytest.mark.thorough
@pytest.mark.parametrize("state", ["no model", "an old model", "a good model"])
@pytest.mark.parametrize("mode", [0o000, 0o500])
def test_a_cache_folder_without_leave_is_done_without(warm, state, mode):
    file, under = model_of(warm), _without_the_powers_of_root()
    if state == "no model":
        file.unlink()
    if state == "an old model":
        warm.ok(SHAKE)
        warm.right = told(warm)
        good = file.read_bytes()
        file.write_bytes(good[: len(good) // 2])
    file.parent.chmod(mode)
    try:
        assert told(warm, under=under) == warm.right
        assert warm.run("shake CAOF-25-02 --when 2025-03-11", under=under).code == 0
    finally:
        file.parent.chmod(0o700)
    assert warm.lines()[-1]["type"] == "shaken"


@pytest.mark.parametrize("kept", [False, True])
def test_a_full_cache_disk_is_done_without(warm, kept):
    shutil.rmtree(warm.cache)
    with small_disk(warm.cache):
        if not kept:
            (warm.cache / "filler").write_bytes(bytes(60_000))
        assert told(warm) == warm.right
        assert warm.run(SHAKE).code == 0
        assert not list(warm.cache.rglob("*.tmp"))
    assert warm.lines()[-1]["type"] == "shaken"


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="needs root")
@pytest.mark.parametrize("how", ["another owner", "another may write"])
def test_a_model_that_another_may_have_written_is_made_new(warm, how):
    file = model_of(warm)
    if how == "another owner":
        os.chown(file, 12345, 12345)
    else:
        file.chmod(0o666)

    assert told(warm) == warm.right
    assert (file.stat().st_uid, file.stat().st_mode & 0o777) == (os.geteuid(), 0o600)


def test_the_model_of_another_book_is_not_read(warm, tmp_path):
    """Byte for byte, and under the name of this one's."""
    whole = model_of(warm).read_bytes()
    before = warm.book
    warm.book = warm.book.rename(tmp_path / "moved")
    warm.env["STILLROOM_BOOK"] = str(warm.book)
    model_of(warm).write_bytes(whole)

    with closing(warm.bench().model.open()) as connection, pytest.raises(BrokenModelError):
        connection.answer(batches)
    # `check` says where the book is, wrapped at the width of the screen.
    said, right = (
        [
            (code, " ".join(out.replace(str(place), "HERE").split()), err)
            for code, out, err in answers
        ]
        for answers, place in ((told(warm), warm.book), (warm.right, before))
    )
    assert said == right


def test_without_a_home_nothing_is_put_into_the_folder_one_stands_in(worked, monkeypatch):
    monkeypatch.setattr("tracker.bench.bench.own_folder", lambda _: "~/.cache/stillroom")

    assert worked.run("shelf").code == 0
    assert not (worked.home / "~").exists()


# While another program is at it


HOLDING = """
import sqlite3, sys
connection = sqlite3.connect(sys.argv[1], isolation_level=None)
connection.execute("BEGIN EXCLUSIVE")
print("held", flush=True)
sys.stdin.read()
"""


def test_a_model_held_by_another_program_is_waited_for_and_then_done_without(warm, monkeypatch):
    monkeypatch.setattr("tracker.journal.model.sealed_model._WAIT_S", 0.2)
    with subprocess.Popen(
        [sys.executable, "-c", HOLDING, model_of(warm)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
    ) as holder:
        assert holder.stdout.readline() == b"held\n"

        assert told(warm) == warm.right
        assert warm.run(SHAKE).code == 0
        holder.stdin.close()
    assert warm.lines()[-1]["type"] == "shaken"


def test_a_model_broken_between_looking_and_writing_still_lets_it_be_recorded(worked):
    bench = worked.bench()
    with opened(bench) as book:
        jar = book.find("CAOF-25-02").jar
        bench.model.file.write_bytes(os.urandom(bench.model.file.stat().st_size))
        book.find("MEOF-25-01")
        assert book.entries_of(jar.id)
        assert book.entry("3").sequence == 3
        commit(bench, book)

    assert worked.run(SHAKE).code == 0
    assert answers(worked.bench())


def test_a_model_made_new_under_an_open_connection_leaves_both_right(warm):
    bench = warm.bench()
    with bench.asking():
        before = bench.batches()
        warm.ok(SHAKE)
        model_of(warm).unlink()
        warm.ok("shelf")

        assert [one.id for one in bench.batches()] == [one.id for one in before]
    assert bench.find("CAOF-25-02").jar.last_shaken is not None


# What the model remembers of the ends of files


def cut_off_the_last_line(command):
    (events,) = (command.book / "events").glob("*.jsonl")
    lines = events.read_bytes().splitlines(keepends=True)
    events.write_bytes(b"".join(lines[:-1]))


@pytest.mark.parametrize("part", ["seal", "cards", "states", "kin", "steps", "ids", "asides"])
def test_a_model_broken_elsewhere_still_knows_the_ends_of_files(warm, part):
    with closing(sqlite3.connect(model_of(warm))) as connection, connection:
        connection.execute(f"UPDATE {part} SET body = zeroblob(length(body))")
    cut_off_the_last_line(warm)

    warm.run("shelf")
    assert [one.gone for one in warm.bench().damages()] == [True]


@pytest.mark.parametrize(
    "edit",
    ["digest = lower(hex(randomblob(32)))", "lines = lines + 1", "sum = sum + 1", "file = 'x'"],
)
def test_what_a_broken_model_says_of_an_end_accuses_nobody(warm, edit):
    with closing(sqlite3.connect(model_of(warm))) as connection, connection:
        connection.execute(f"UPDATE heads SET {edit}")

    warm.ok(SHAKE)
    assert warm.bench().damages() == []


def test_ends_that_another_layouts_model_knew_are_still_known(warm):
    file = model_of(warm)
    file.rename(file.with_name(f"{file.stem.rpartition('-')[0]}-00000000.sqlite"))
    known = heads_known(file)
    cut_off_the_last_line(warm)

    assert [head.lines for head in known.values()] == [8]
    assert [one.gone for one in warm.bench().damages()] == [True]
    with closing(warm.bench().model.open()) as connection:
        assert read_heads(connection) == known


# Several at once, and one that is killed


def right_again(command) -> None:
    """Whatever the model is now, it answers as none at all."""
    found = told(command)
    shutil.rmtree(command.cache)
    assert found == told(command)


@pytest.mark.thorough
@pytest.mark.parametrize("call", ["pwrite64", "fdatasync"])
@pytest.mark.parametrize("line", [SHAKE, "shelf"])
def test_a_command_killed_while_it_changes_the_model_leaves_it_right(warm, call, line):
    """At every write to the model's file, and at each time it is synced."""
    for step in range(1, MOST_STEPS):
        if line == "shelf":  # which catches up with what another machine wrote
            write(warm.book, [Pen(f"other-{step}").write(a_charge(code=f"X-{step}"), "2025-04-01")])
        under = strace(f"{call}:signal=SIGKILL:when={step}", path=model_of(warm))
        if warm.run(line, under=under).code == 0:
            break
        assert told(warm)[0][0] == 0
    assert 1 < step < MOST_STEPS
    right_again(warm)


@pytest.mark.thorough
def test_several_commands_that_all_make_the_model_answer_rightly(warm):
    for _ in range(2):
        shutil.rmtree(warm.cache)
        lines = ["shelf --json", SHAKE, "shelf --json", "history CAOF-25-01"]
        running = [warm.start(line) for line in lines]
        ended = [(one.communicate(timeout=60), one.returncode) for one in running]

        assert [code for _, code in ended] == [0] * 4, ended
        assert ended[3][0][0] == warm.right[ASKING.index("history CAOF-25-01")][1]
    right_again(warm)
