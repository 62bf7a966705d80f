"""An answer that is at hand is the one that would be printed the longer way, or there is none."""

import errno
import os
import shutil
import time
from datetime import UTC
from pathlib import Path

import pytest

from tests.cli.plain.forked import Screen, asked
from tracker import clock
from tracker.cli.plain import at_hand
from tracker.journal.own_head import OwnEnd, remember

SOON_S = 10.0  # a file that changed within two seconds may do so once more
DAY_S = 86400.0


def present() -> float:
    return clock.now(UTC).timestamp()


@pytest.fixture
def kept(worked):
    """A book that was asked what is due, with the answer kept."""
    worked.now = present() + SOON_S
    asked(worked, "due", worked.now)
    return worked


def is_at_hand(command, line="due", now=None, screen=None):
    """Whether the answer is at hand; it has to be the same as any other way."""
    now = command.now if now is None else now
    found, was_at_hand = asked(command, line, now, screen)
    assert found == asked(command, line, now, screen, fully=True)[0]
    return was_at_hand


def where_it_is_noon():
    """A zone whose day does not end while a test runs; its sign is that of POSIX."""
    return f"Etc/GMT{clock.now(UTC).hour - 12:+d}"


def only_file(command):
    (file,) = (command.book / "events").iterdir()
    return file


def kept_files(command):
    return list(command.cache.rglob("said-*"))


@pytest.mark.parametrize("line", ["due", "shelf", "stock", "show CAOF-25-01"])
def test_what_is_asked_once_more_is_at_hand(worked, line):
    now = present() + SOON_S

    assert not is_at_hand(worked, line, now)
    assert is_at_hand(worked, line, now)


def test_no_code_is_answered_with_another(kept):
    for code in range(40):
        assert asked(kept, f"show {code}", kept.now)[0].code == 1
    for code in ("CAOF-25-01", "MEOF-25-01", "CAOF-25-01A", "MEOF-25-01A"):
        is_at_hand(kept, f"show {code}")
    for code in ("CAOF-25-01", "MEOF-25-01", "CAOF-25-01A", "MEOF-25-01A"):
        is_at_hand(kept, f"show {code}")


def test_a_line_that_was_added_is_seen_though_the_clock_of_the_disk_stood(kept):
    file = only_file(kept)
    before = file.stat()
    kept.ok("note MEOF-25-01 seen")
    os.utime(file, ns=(before.st_atime_ns, before.st_mtime_ns))

    assert not is_at_hand(kept)


def test_a_file_in_the_place_of_another_is_seen_though_it_looks_the_same(kept):
    file = only_file(kept)
    before = file.stat()
    copy = shutil.copy2(file, file.with_suffix(".copy"))
    copy.replace(file)
    os.utime(file, ns=(before.st_atime_ns, before.st_mtime_ns))

    assert not is_at_hand(kept)


def test_what_was_changed_a_moment_ago_is_not_kept(worked):
    only_file(worked).touch()

    assert not is_at_hand(worked, now=present())
    assert kept_files(worked) == []


def test_the_day_ends_at_the_makers_midnight(kept):
    """Berlin is ahead of UTC: its day ends an hour or two before that of the machine's clock."""
    day = int(kept.now // DAY_S) * DAY_S
    noon = day + DAY_S + 10 * 3600
    asked(kept, "due", noon)

    assert is_at_hand(kept, now=noon + 11 * 3600)
    assert not is_at_hand(kept, now=noon + 14 * 3600)


def test_a_clock_set_back_has_no_answer_at_hand(kept):
    later = kept.now + 30 * DAY_S
    asked(kept, "due", later)

    assert is_at_hand(kept, now=later)
    assert not is_at_hand(kept, now=later - 1)
    assert not is_at_hand(kept, now=later - 20 * DAY_S)


@pytest.mark.parametrize("text", ['zone = "Pacific/Auckland"\n', "zone = 3\n", ""])
def test_a_new_practice_is_seen(kept, text):
    kept.practice(text)

    assert not is_at_hand(kept)


def test_another_screen_gets_an_answer_of_its_own(kept):
    assert not is_at_hand(kept, screen=Screen(60))
    assert not is_at_hand(kept, screen=Screen(100))

    asked(kept, "due", kept.now, Screen(60))
    kept.env["NO_COLOR"] = "1"

    assert not is_at_hand(kept, screen=Screen(60))


@pytest.mark.parametrize(
    ("name", "text"), [("TZ", "Asia/Tokyo"), ("XDG_STATE_HOME", "other"), ("COLUMNS", "100")]
)
def test_other_surroundings_get_an_answer_of_their_own(kept, name, text):
    kept.env[name] = str(kept.home / text) if name.startswith("XDG") else text

    assert not is_at_hand(kept)


@pytest.mark.parametrize("name", ["XDG_STATE_HOME", "XDG_CACHE_HOME"])
def test_a_file_where_a_folder_should_be_changes_no_answer(kept, name):
    (kept.home / "file").write_text("no folder")
    kept.env[name] = str(kept.home / "file")

    assert not is_at_hand(kept)
    assert not is_at_hand(kept)


def test_a_disk_that_takes_nothing_changes_no_answer(worked, monkeypatch):
    def full(_):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr("tracker.journal.whole_file.begun_beside", full)
    now = present() + SOON_S

    assert not is_at_hand(worked, now=now)
    assert not is_at_hand(worked, now=now)
    assert kept_files(worked) == []


def test_what_the_daemon_could_not_deliver_comes_first(kept):
    state = kept.bench().state
    state.mkdir(parents=True, exist_ok=True)
    (state / "untold").write_text("CAOF-25-01 is ready")

    answer, was_at_hand = asked(kept, "due", kept.now)

    assert not was_at_hand
    assert answer.err == "CAOF-25-01 is ready\n"
    assert asked(kept, "due", kept.now)[1]


def test_what_is_said_beside_an_answer_keeps_it_from_being_kept(worked):
    file = only_file(worked)
    file.write_bytes(file.read_bytes().replace(b"Calendula", b"Calenduli", 1))
    now = present() + SOON_S

    assert "INCOMPLETE" in asked(worked, "due", now)[0].err
    assert kept_files(worked) == []


def test_an_end_that_was_written_from_here_and_is_gone_is_missed(kept):
    file, whole = only_file(kept), only_file(kept).read_bytes()
    kept.ok("note MEOF-25-01 seen")
    before = file.stat()
    file.write_bytes(whole)
    os.utime(file, ns=(before.st_atime_ns, before.st_mtime_ns))

    assert not is_at_hand(kept)
    assert not is_at_hand(kept)


def test_what_this_machine_remembers_of_its_own_lines_counts(kept):
    remember(kept.bench().model.own_ends, OwnEnd(only_file(kept).name, 999, "f" * 64))

    assert not is_at_hand(kept)
    assert "INCOMPLETE" in asked(kept, "due", kept.now)[0].err


def test_a_model_that_is_gone_is_made_new_before_anything_is_at_hand(kept):
    """It reads every line of the book, and names what a disk has spoilt in silence."""
    for model in kept.cache.rglob("shelf-*"):
        model.unlink()

    assert not is_at_hand(kept)


@pytest.mark.parametrize(
    "spoil",
    [
        lambda file: file.write_bytes(file.read_bytes()[:-1]),
        lambda file: file.write_bytes(file.read_bytes().replace(b"CAOF", b"CAOG")),
        lambda file: file.write_bytes(b""),
        lambda file: file.chmod(0o644),
        lambda file: (file.rename(file.with_suffix(".x")), file.symlink_to(f"{file}.x")),
        lambda file: (file.unlink(), file.mkdir()),
        lambda file: (file.unlink(), os.mkfifo(file)),
    ],
)
def test_what_is_kept_and_spoilt_is_not_at_hand(kept, spoil):
    (file,) = kept_files(kept)
    spoil(file)

    assert not is_at_hand(kept)


def test_what_is_kept_is_for_its_maker_alone(kept):
    (file,) = kept_files(kept)

    assert file.stat().st_mode & 0o777 == 0o600


def test_the_answer_of_one_book_is_not_kept_for_another(kept):
    (file,) = kept_files(kept)
    kept.book = kept.book.rename(kept.home / "moved")
    kept.env["STILLROOM_BOOK"] = str(kept.book)
    asked(kept, "due", kept.now)
    (own,) = (one for one in kept_files(kept) if one != file)
    file.replace(own)

    assert not is_at_hand(kept)


def test_a_program_that_was_changed_has_no_answer_at_hand(kept, monkeypatch):
    """The answer went through that file; here its time is another for a moment."""
    from tracker.outputs.words.due import due_lines

    seen = Path(due_lines.__file__).stat()
    try:
        os.utime(due_lines.__file__, ns=(seen.st_atime_ns, seen.st_mtime_ns + 1))
        assert not is_at_hand(kept)
    finally:
        os.utime(due_lines.__file__, ns=(seen.st_atime_ns, seen.st_mtime_ns))


def test_another_copy_of_the_program_has_no_answer_at_hand(kept, monkeypatch):
    monkeypatch.setattr(at_hand, "__file__", "/elsewhere/at_hand.py")

    assert not is_at_hand(kept)


def test_the_program_prints_what_is_at_hand(worked):
    """A book that lay still: what was changed a moment ago is not kept."""
    worked.practice(f'zone = "{where_it_is_noon()}"\n')
    time.sleep(2.1)

    first = worked.installed("due")
    assert len(kept_files(worked)) == 1
    assert worked.installed("due") == first
    full = worked.installed("due", under=["sh", "-c", 'exec "$0" "$@" > /dev/full'])
    assert full.code == 1
    assert "could not be printed" in full.err
