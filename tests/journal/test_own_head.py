"""The last own line, remembered: damaged memory is none, and what is remembered comes back."""

import os

import pytest

from tracker.journal import whole_file
from tracker.journal.own_head import OwnEnd, forget, own_ends, remember

END = OwnEnd("bench.jsonl", 7, "a" * 64, 12, "m")
OTHER = OwnEnd("anna.jsonl", 3, "b" * 64)


def test_what_is_remembered_comes_back_each_by_its_file(tmp_path):
    file = tmp_path / "state" / "own-ends"
    remember(file, END)
    remember(file, OTHER, own_ends(file).values())

    assert own_ends(file) == {"bench.jsonl": END, "anna.jsonl": OTHER}
    assert file.stat().st_mode & 0o777 == 0o600
    forget(file)
    assert own_ends(file) == {}


def test_what_is_forgotten_does_not_come_back_with_the_power(tmp_path, monkeypatch):
    """Once a cut right after `check --accept` had the accepted end missed again."""
    file, synced = tmp_path / "own-ends", []
    remember(file, END)
    monkeypatch.setattr(whole_file, "sync_folder", lambda one: synced.append((one, file.exists())))
    forget(file)
    forget(file)

    assert synced == [(tmp_path, False)]


def test_any_byte_changed_or_cut_off_is_no_memory_of_another_line(tmp_path):
    file = tmp_path / "own-ends"
    remember(file, END)
    whole = file.read_bytes()
    for place in range(len(whole)):
        file.write_bytes(whole[:place])
        assert own_ends(file) == {}
        file.write_bytes(whole[:place] + bytes([whole[place] ^ 1]) + whole[place + 1 :])
        assert own_ends(file) in ({}, {"bench.jsonl": END})


@pytest.mark.parametrize("stands", ["folder", "pipe", "link", "rubbish"])
def test_what_else_stands_there_is_ignored_and_a_file_makes_room(tmp_path, stands):
    file = tmp_path / "own-ends"
    {
        "folder": file.mkdir,
        "pipe": lambda: os.mkfifo(file),
        "link": lambda: file.symlink_to(tmp_path / "elsewhere"),
        "rubbish": lambda: file.write_bytes(b"\xff" * 100),
    }[stands]()
    assert own_ends(file) == {}

    if stands == "folder":
        with pytest.raises(OSError, match="own-ends"):
            remember(file, END)
        return
    remember(file, END)
    assert own_ends(file) == {"bench.jsonl": END}
    assert not (tmp_path / "elsewhere").exists()
