"""A small book, and one under fire."""

import pytest

from tests.command import Command
from tests.faults.injecting import Log
from tests.journal.on_disk import write
from tests.lives import OneJar, Pen, a_charge
from tracker.core.facts.amendments import Noted


@pytest.fixture
def log(tmp_path):
    """A book of one charge; what runs under a fault is a process, the rest is not."""
    return Log(Command(tmp_path)).begin()


@pytest.fixture
def seven(tmp_path):
    """A book of seven lines: charged, four remarks, pressed, one more remark."""
    command = Command(tmp_path)
    one = OneJar(Pen("bench"))
    one.charge = one.then(a_charge(), "2025-03-03")
    for number in range(4):
        one.then(Noted(about=one.jar, note=f"remark {number}"), "2025-03-04")
    one.press("2025-06-03", ml=370.0)
    one.then(Noted(about=one.jar, note="pressed well"), "2025-06-03")
    write(command.book, one.entries)
    return command
