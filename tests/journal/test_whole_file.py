"""Whole files: the old contents or the new, whatever fails on the way."""

import os
import stat

import pytest

from tracker.journal.whole_file import SHARED, write_whole


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
