"""Whole files: the old contents or the new, whatever fails on the way."""

import os
import stat
from functools import partial
from pathlib import Path

import pytest

from tracker.journal import whole_file
from tracker.journal.whole_file import SHARED, make_folder, write_new, write_whole


class _Died(BaseException):
    """What no `except` of the program sees, as it sees no kill."""


def fails(*_args):
    raise OSError(28, "No space left on device")


def dies(*_args):
    raise _Died


@pytest.fixture
def file(tmp_path):
    file = tmp_path / "shelf.html"
    write_whole(file, b"the old shelf")
    return file


def test_new_contents_take_the_place_of_the_old(file):
    write_whole(file, b"the new shelf")

    assert file.read_bytes() == b"the new shelf"
    assert list(file.parent.iterdir()) == [file]


@pytest.mark.parametrize("call", ["fsync", "open"])
@pytest.mark.parametrize("fault", [fails, dies])
def test_what_failed_leaves_the_old_file_and_nothing_beside_it(file, monkeypatch, call, fault):
    monkeypatch.setattr(os, call, fault)
    with pytest.raises((OSError, _Died)):
        write_whole(file, b"the new shelf")
    monkeypatch.undo()

    assert file.read_bytes() == b"the old shelf"
    assert list(file.parent.iterdir()) == [file]


@pytest.mark.parametrize("write", [write_whole, partial(write_new, force=True)])
def test_a_disk_that_says_it_wrote_what_it_did_not_is_not_believed(file, monkeypatch, write):
    sync = os.fsync

    def loses_half(descriptor):
        sync(descriptor)
        os.truncate(descriptor, 3)

    monkeypatch.setattr(os, "fsync", loses_half)
    with pytest.raises(OSError, match="Input/output"):
        write(file, b"the new shelf")
    monkeypatch.undo()

    assert file.read_bytes() == b"the old shelf"
    assert list(file.parent.iterdir()) == [file]


def test_nothing_is_renamed_before_it_is_synced(file, monkeypatch):
    """Else a power cut leaves an empty file under the name of the old one."""
    seen = []
    sync = os.fsync
    monkeypatch.setattr(os, "fsync", lambda at: (seen.append(file.read_bytes()), sync(at))[1])
    write_whole(file, b"the new shelf")

    assert seen == [b"the old shelf", b"the new shelf"]  # the file, then its folder


def test_a_folder_in_its_place_is_left_alone(tmp_path):
    (tmp_path / "shelf.html").mkdir()
    with pytest.raises(OSError, match="directory"):
        write_whole(tmp_path / "shelf.html", b"the new shelf")

    assert [one.name for one in tmp_path.iterdir()] == ["shelf.html"]


@pytest.mark.skipif(os.name == "nt", reason="Windows keeps no such modes")
def test_a_file_is_its_makers_own_unless_it_is_to_be_shared(tmp_path):
    was = os.umask(0o022)
    try:
        write_whole(tmp_path / "own", b"")
        write_whole(tmp_path / "shared", b"", mode=SHARED)
    finally:
        os.umask(was)

    modes = [stat.S_IMODE((tmp_path / name).stat().st_mode) for name in ("own", "shared")]
    assert modes == [0o600, 0o644]


def test_a_folder_that_is_made_lasts_with_all_that_lead_to_it(tmp_path, monkeypatch):
    synced = []
    monkeypatch.setattr(whole_file, "sync_folder", synced.append)
    folder = tmp_path / "state" / "stillroom" / "book"
    make_folder(folder)
    make_folder(folder)

    assert synced == [tmp_path, tmp_path / "state", tmp_path / "state" / "stillroom"]
    assert os.name == "nt" or stat.S_IMODE(folder.stat().st_mode) == 0o700


# What a person named


@pytest.fixture
def named(tmp_path):
    return tmp_path / "labels.pdf"


def test_what_is_named_is_new_and_its_makers_own(named):
    write_new(named, b"labels")

    assert named.read_bytes() == b"labels"
    assert os.name == "nt" or stat.S_IMODE(named.stat().st_mode) == 0o600
    assert list(named.parent.iterdir()) == [named]


def test_what_stands_there_stays_until_it_is_forced(named):
    write_new(named, b"labels")
    with pytest.raises(FileExistsError):
        write_new(named, b"others")
    assert named.read_bytes() == b"labels"

    write_new(named, b"others", force=True)
    assert named.read_bytes() == b"others"


@pytest.mark.parametrize("force", [False, True])
@pytest.mark.parametrize("kind", ["folder", "link", "loose link", "pipe", "device"])
def test_what_is_no_file_is_never_replaced_or_read(tmp_path, kind, force):
    named, other = tmp_path / "labels.pdf", tmp_path / "other"
    other.write_bytes(b"somebody's")
    match kind:
        case "folder":
            named.mkdir()
        case "link":
            named.symlink_to(other)
        case "loose link":
            named.symlink_to(tmp_path / "nowhere")
        case "pipe":
            os.mkfifo(named)
        case "device":
            named = Path("/dev/zero")
    before = named.lstat()
    with pytest.raises(FileExistsError):
        write_new(named, b"labels", force=force)

    assert named.lstat().st_mode == before.st_mode
    assert other.read_bytes() == b"somebody's"
    assert not (tmp_path / "nowhere").exists()


@pytest.mark.parametrize("name", ["events/kitchen.jsonl", "practice.toml"])
def test_no_force_replaces_what_a_book_is_made_of(tmp_path, name):
    (tmp_path / "events").mkdir()
    (tmp_path / name).write_bytes(b"the book")
    with pytest.raises(FileExistsError):
        write_new(tmp_path / name, b"labels", force=True)

    assert (tmp_path / name).read_bytes() == b"the book"


def test_where_files_have_no_second_names_it_is_written_all_the_same(named, monkeypatch):
    def refuse(*_args, **_named):
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(os, "link", refuse)
    write_new(named, b"labels")
    with pytest.raises(FileExistsError):
        write_new(named, b"others")

    assert named.read_bytes() == b"labels"
    assert list(named.parent.iterdir()) == [named]


def test_what_a_killed_run_left_is_taken_away_and_nothing_else_is(tmp_path):
    stale, young, others = (
        tmp_path / f".stillroom-{name}.tmp" for name in ("0" * 24, "1" * 24, "notes")
    )
    for one in (stale, young, others):
        one.write_bytes(b"half a page")
    for one in (stale, others):
        os.utime(one, (0, 0))
    write_whole(tmp_path / "shelf.html", b"the shelf")

    assert (stale.exists(), young.exists(), others.exists()) == (False, True, True)


@pytest.mark.parametrize("write", [write_whole, write_new])
def test_what_is_begun_goes_though_the_disk_once_refuses_to_take_it_away(
    tmp_path, monkeypatch, write
):
    unlink, refused = Path.unlink, []

    def refuses_once(one, **named):
        if not refused:
            refused.append(one)
            fails()
        unlink(one, **named)

    monkeypatch.setattr(Path, "unlink", refuses_once)
    write(tmp_path / "shelf.html", b"the shelf")

    assert len(refused) == 1
    assert [one.name for one in tmp_path.iterdir()] == ["shelf.html"]


def test_names_of_what_is_begun_are_not_guessed(tmp_path, monkeypatch):
    names = []
    replace = Path.replace
    monkeypatch.setattr(Path, "replace", lambda one, to: (names.append(one), replace(one, to))[1])
    for _ in range(2):
        write_whole(tmp_path / "shelf.html", b"the shelf")

    assert len(set(names)) == 2
