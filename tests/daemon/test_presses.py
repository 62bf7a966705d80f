"""What a press on a notice records, without a screen: one that fails keeps no other back."""

import logging
import os
from pathlib import Path

import pytest

from tests.command import Command
from tracker.daemon import buttons
from tracker.daemon.buttons import record_press

NOW = "2025-07-22 09:00"
CHARGES = (
    'charge "citrus" --part peel --dried 50g --pour "250 ml 45%" --least 5d --longest 7d '
    "--shake none --code A1 --when 2025-07-01",
    'charge "cowherb" --dried 50g --pour "250 ml 45%" --least 5d --longest 7d --shake daily '
    "--code C1 --when 2025-07-01",
)


@pytest.fixture
def two(tmp_path) -> Command:
    command = Command(tmp_path).practice('zone = "Europe/Berlin"\n')
    for line in CHARGES:
        command.ok(line)
    return command


def test_a_code_that_is_gone_keeps_no_other_from_being_put_off(two, caplog):
    record_press(two.bench(NOW), "later", ("GONE", "A1"))

    put_off = [one for one in two.lines() if one["type"] == "later"]
    assert [one["subject"] for one in put_off] == ["A1", "A1"]
    assert [one["data"]["what"] for one in put_off] == ["past-longest", "ready"]
    assert "GONE" in caplog.text


def test_words_that_fail_after_the_record_say_nothing_against_it(two, monkeypatch, caplog):
    def fails(_: object) -> str:
        raise ValueError("no words for it")

    monkeypatch.setattr(buttons, "said", fails)
    caplog.set_level(logging.INFO, "stillroom")
    record_press(two.bench(NOW), "shaken", ("C1",))

    assert two.lines()[-1]["type"] == "shaken"
    assert "a press recorded: C1 shaken" in caplog.text
    assert "not recorded" not in caplog.text


@pytest.mark.parametrize(("where", "call"), [(Path, "is_dir"), (os, "scandir"), (os, "open")])
def test_a_disk_that_refuses_is_one_line_of_the_log(two, monkeypatch, caplog, where, call):
    caplog.set_level(logging.INFO, "stillroom")
    bench, before = two.bench(NOW), two.lines()

    def fails(*_: object, **__: object) -> None:
        raise OSError(5, os.strerror(5))

    with monkeypatch.context() as patch:
        patch.setattr(where, call, fails)
        record_press(bench, "shaken", ("C1",))

    assert len(caplog.messages) == 1
    assert caplog.messages[0].startswith("a press was refused: ")
    assert not any(one.exc_info for one in caplog.records)
    assert two.lines() == before
