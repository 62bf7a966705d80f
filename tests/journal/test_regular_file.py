"""Only a regular file is read, and nothing else keeps anybody waiting."""

import os

import pytest

from tracker.journal.regular_file import is_regular, opened_regular, read_regular


def test_the_beginning_of_a_file_is_read(tmp_path):
    file = tmp_path / "file"
    file.write_bytes(b"calendula")

    assert read_regular(file, 4) == b"cale"
    assert read_regular(file, 100) == b"calendula"
    with opened_regular(file) as opened:
        assert opened.read() == b"calendula"
    assert is_regular(file)


@pytest.mark.skipif(os.name != "posix", reason="no pipes and no such device")
@pytest.mark.parametrize("what", ["pipe", "folder", "device", "nothing"])
@pytest.mark.parametrize("through_link", [False, True])
def test_what_is_no_file_is_refused_at_once(tmp_path, what, through_link):
    place = {"device": "/dev/zero"}.get(what, tmp_path / what)
    if what == "pipe":
        os.mkfifo(place)  # opened in the usual way it would wait for ever
    if what == "folder":
        place.mkdir()

    refusal = "No such file" if what == "nothing" else "it is not an ordinary file"
    with pytest.raises(OSError, match=refusal):
        read_regular(place, 4, through_link=through_link)
    assert not is_regular(place)


@pytest.mark.skipif(not hasattr(os, "O_NOFOLLOW"), reason="links are always followed")
def test_a_link_is_followed_only_where_that_is_said(tmp_path):
    file, link = tmp_path / "file", tmp_path / "link"
    file.write_bytes(b"calendula")
    link.symlink_to(file)

    assert read_regular(link, 4, through_link=True) == b"cale"
    with pytest.raises(OSError, match="symbolic link"):
        read_regular(link, 4)
    assert not is_regular(link)
    assert is_regular(file)
