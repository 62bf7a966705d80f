"""A press of a button that the disk refuses: one line of the log, and nothing in the book."""

import logging
import os
from pathlib import Path

from tracker.daemon.buttons import record_press


def test_a_disk_that_refuses_is_a_line_of_the_log(worked, monkeypatch, caplog):
    caplog.set_level(logging.INFO, "stillroom")
    bench, before = worked.bench(), worked.lines()
    jar = next(one.code for one in bench.jars() if one.is_macerating)

    def fails(_):
        raise OSError(5, os.strerror(5))

    monkeypatch.setattr(Path, "is_dir", fails)
    record_press(bench, "shaken", [jar])
    monkeypatch.undo()

    assert caplog.messages == ["a press was refused: Input/output error"]
    assert not any(one.exc_info for one in caplog.records)
    assert worked.lines() == before
