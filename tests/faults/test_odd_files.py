"""Whatever lies under events/: what is no file of lines is named, and the rest goes on."""

import json
import os
import socket

import pytest

from tests.journal.on_disk import file_of
from tracker.journal.file_marks import name_shown, path_of


def plant_link(path):
    target = path.parent.parent / "elsewhere.txt"
    target.write_bytes(b"of somebody else\n")
    path.symlink_to(target)


def plant_socket(path):
    with socket.socket(socket.AF_UNIX) as one:
        one.bind(os.path.relpath(path))


def plant_device(path):
    try:
        os.mknod(path, 0o600 | 0o020000, os.makedev(1, 5))  # /dev/zero, which has no end
    except PermissionError:
        pytest.skip("a device needs root")


ODD = {
    "a link": (plant_link, "is a link, which is not followed"),
    "a link to nothing": (lambda path: path.symlink_to("nowhere"), "is a link"),
    "a link to itself": (lambda path: path.symlink_to(path.name), "is a link"),
    "a pipe": (os.mkfifo, "is a pipe"),
    "a socket": (plant_socket, "is a socket"),
    "a device": (plant_device, "is a device"),
    "a folder": (lambda path: path.mkdir(), "is a folder"),
}


@pytest.fixture(params=ODD)
def odd(request, seven, monkeypatch):
    """A book beside whose file something lies that is none, and the words for it."""
    monkeypatch.chdir(seven.home)
    plant, says = ODD[request.param]
    seven.ok("shelf --done")  # the cache is warm
    plant(seven.book / "events" / "odd.jsonl")
    return seven, says


def test_what_is_no_file_is_named_and_everything_else_goes_on(odd):
    command, says = odd

    checked = command.run("check")
    assert checked.code == 1
    assert f"\nodd.jsonl: {says}" in checked.out
    (damage,) = json.loads(command.run("check --json").out)["damages"]
    assert (damage["file"], damage["line"]) == ("odd.jsonl", None)
    assert damage["kind"] in ("link", "apart")
    for verb in ("shelf --done", "due"):
        answer = command.run(verb)
        assert (answer.code, "INCOMPLETE" in answer.err) == (0, True)
    assert command.run("note CAOF-25-01 'one more'").code == 0
    assert len(command.json("history CAOF-25-01")) == 8


def test_a_copy_is_made_of_the_files_alone_and_says_what_is_left_out(odd):
    command, says = odd

    answer = command.run("backup copy")
    assert answer.code == 1
    assert f"odd.jsonl: {says}" in answer.out
    assert [one.name for one in (command.home / "copy" / "events").iterdir()] == ["bench.jsonl"]
    assert command.run("backup copy --verify").code == 0


def test_what_is_in_the_way_may_go_and_the_book_is_whole(odd):
    command, _ = odd
    path = command.book / "events" / "odd.jsonl"
    command.run("shelf")
    path.rmdir() if path.is_dir() and not path.is_symlink() else path.unlink()

    assert command.run("check").code == 0
    assert "INCOMPLETE" not in command.run("shelf").err


def test_a_file_in_the_place_of_a_link_is_read(seven):
    odd = seven.book / "events" / "odd.jsonl"
    odd.symlink_to("nowhere")
    assert "INCOMPLETE" in seven.run("shelf").err
    odd.unlink()
    odd.write_bytes(b"")

    assert "INCOMPLETE" not in seven.run("shelf").err
    assert seven.run("check").code == 0


def test_ones_own_file_that_became_a_link_is_never_written_through(seven):
    own = file_of(seven.book, "bench")
    own.rename(seven.home / "moved.jsonl")
    own.symlink_to(seven.home / "moved.jsonl")
    whole = (seven.home / "moved.jsonl").read_bytes()

    answer = seven.run("note CAOF-25-01 'through the link'")
    assert answer.code == 1
    assert (seven.home / "moved.jsonl").read_bytes() == whole
    assert "bench.jsonl: is a link" in seven.run("check").out


NAMES = [b"caf\xe9.jsonl", b"a\x1b[2Jb.jsonl", b"two\nlines.jsonl", "\u202egnp.jsonl".encode()]


@pytest.mark.parametrize("name", NAMES)
def test_a_name_that_is_no_plain_text_sets_the_file_apart_and_nothing_else(seven, name):
    odd = os.path.join(os.fsencode(seven.book / "events"), name)  # noqa: PTH118 - of bytes
    seven.ok("shelf --done")
    with open(odd, "wb") as file:  # noqa: PTH123 - of bytes
        file.write(file_of(seven.book, "bench").read_bytes())

    checked = seven.run("check")
    assert checked.code == 1
    assert "has signs in its name that no file of a book has" in checked.out
    (named,) = [line for line in checked.out.splitlines() if ".jsonl" in line]
    assert named.isprintable()
    assert checked.out.replace("\n", "").isprintable()
    assert seven.run("note CAOF-25-01 'goes on'").code == 0
    assert len(seven.json("history CAOF-25-01")) == 8

    assert seven.run("backup copy").code == 1  # it holds what is set apart
    copy = os.path.join(os.fsencode(seven.home / "copy" / "events"), name)  # noqa: PTH118
    with open(copy, "rb") as there, open(odd, "rb") as here:  # noqa: PTH123
        assert there.read() == here.read()


@pytest.mark.parametrize("name", ["a.jsonl", "\\", "\\\\u00001b", "\udc80\\udc80", "\x1b", "ä b"])
def test_a_name_as_shown_leads_back_to_the_name(tmp_path, name):
    shown = name_shown(name)

    assert path_of(tmp_path, shown) == tmp_path / "events" / name
    assert shown.encode()
    assert shown.isprintable()


def test_two_names_are_never_shown_alike(tmp_path):
    names = ["\x1b", "\\u00001b", "\\\\u00001b", "\udc80", "\\udc80", "\\u00dc80"]

    assert len({name_shown(name) for name in names}) == len(names)


# The folder itself


def test_a_folder_that_is_a_file_is_said_to_be_none(seven):
    events = seven.book / "events"
    events.rename(seven.home / "away")
    events.write_bytes(b"not a folder\n")

    for line in ("shelf", "check", "due", "note CAOF-25-01 x", "backup copy", "history CAOF-25-01"):
        answer = seven.run(line)
        assert answer.code == 1
        assert "Traceback" not in answer.err
        assert str(seven.book) in answer.err
    assert events.read_bytes() == b"not a folder\n"


def test_a_folder_that_the_maker_put_elsewhere_by_a_link_is_the_folder(seven):
    events = seven.book / "events"
    events.rename(seven.home / "synced")
    events.symlink_to(seven.home / "synced")

    assert seven.run("check").code == 0
    assert seven.run("note CAOF-25-01 'in the synced folder'").code == 0
    assert len(seven.json("history CAOF-25-01")) == 8
    assert seven.run("backup copy").code == 0
    assert not (seven.home / "copy" / "events").is_symlink()


def test_a_copy_whose_folder_leads_back_to_the_book_is_refused(seven):
    (seven.home / "copy").mkdir()
    (seven.home / "copy" / "events").symlink_to(seven.book / "events")

    answer = seven.run("backup copy")
    assert answer.code == 1
    assert "is a link, which is not followed" in answer.err
