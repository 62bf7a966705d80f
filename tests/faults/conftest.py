"""A small book, and the command run in this process where no process is what is tested."""

import shlex

import pytest
from typer.testing import CliRunner

from tests.command import Answer, Command
from tests.faults.injecting import Log
from tests.journal.on_disk import write
from tests.lives import OneJar, Pen, a_charge
from tracker.cli.main import app
from tracker.core.facts.amendments import Noted
from tracker.core.values.errors import TrackerError


class Here(Command):
    """`stillroom` in this process, with its errors told as `main` tells them."""

    def run(self, line, *more, typed=None, under=()):  # type: ignore[override]
        if typed is not None or under:
            return super().run(line, *more, typed=typed, under=under)
        done = CliRunner().invoke(app, [*shlex.split(line), *more], env=self.env, input="")
        if isinstance(done.exception, TrackerError):
            return Answer(done.exception.exit_code, done.stdout, str(done.exception))
        if done.exception is not None and not isinstance(done.exception, SystemExit):
            raise done.exception
        return Answer(done.exit_code, done.stdout, done.stderr)


@pytest.fixture
def log(tmp_path):
    """A book of one charge; what runs under a fault is a process, the rest is not."""
    return Log(Here(tmp_path)).begin()


@pytest.fixture
def seven(tmp_path):
    """A book of seven lines: charged, four remarks, pressed, one more remark."""
    command = Here(tmp_path)
    one = OneJar(Pen("bench"))
    one.charge = one.then(a_charge(), "2025-03-03")
    for number in range(4):
        one.then(Noted(about=one.jar, note=f"remark {number}"), "2025-03-04")
    one.press("2025-06-03", ml=370.0)
    one.then(Noted(about=one.jar, note="pressed well"), "2025-06-03")
    write(command.book, one.entries)
    return command
