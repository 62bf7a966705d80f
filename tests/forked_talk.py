"""A conversation with the program in a terminal of its own, forked from this process.

Starting a process takes longer than most conversations; what is typed goes through a real
pseudo-terminal all the same, and Ctrl-C arrives as the signal it is.
"""

import fcntl
import io
import os
import shlex
import signal
import subprocess
import sys
import termios
import time
from collections.abc import Mapping, Sequence
from pathlib import Path

from tests.command import STILLROOM, Command, Talk
from tracker.cli.main import main


class ForkedTalk(Talk):
    """A `Talk` whose process is a fork of this one."""

    def __init__(
        self, command: Command, line: str, columns: int = 80, rows: int = 24, **env: str
    ) -> None:
        super().__init__(command, line, columns, rows, env)

    def _start(self, line: str, follower: int, env: Mapping[str, str], home: Path) -> "_Child":
        child = os.fork()
        if child == 0:
            _run([str(STILLROOM), *shlex.split(line)], follower, env, home)
        return _Child(child)


class _Child:
    """As much of a process as a conversation needs."""

    def __init__(self, pid: int) -> None:
        self.pid, self.code = pid, None

    def poll(self) -> int | None:
        """Its exit code; None while it runs."""
        if self.code is None:
            ended, status = os.waitpid(self.pid, os.WNOHANG)
            self.code = os.waitstatus_to_exitcode(status) if ended else None
        return self.code

    def wait(self, timeout: float = 60.0) -> int:
        """Its exit code, once it has ended."""
        until = time.monotonic() + timeout
        while (code := self.poll()) is None:
            if time.monotonic() > until:
                raise subprocess.TimeoutExpired("stillroom", timeout)
            time.sleep(0.002)
        return code

    def kill(self) -> None:
        """End it."""
        os.kill(self.pid, signal.SIGKILL)


def _run(words: Sequence[str], follower: int, env: Mapping[str, str], home: Path) -> None:
    code: object = 70
    try:
        os.setsid()
        fcntl.ioctl(follower, termios.TIOCSCTTY, 0)
        for stream in range(3):
            os.dup2(follower, stream)
        signal.signal(signal.SIGINT, signal.default_int_handler)
        os.environ.clear()
        os.environ.update(env)
        time.tzset()
        os.chdir(home)
        sys.argv = list(words)
        sys.stdin = sys.__stdin__ = io.TextIOWrapper(io.FileIO(0, closefd=False), "utf-8")
        for name, stream in (("stdout", 1), ("stderr", 2)):
            opened = io.TextIOWrapper(
                io.FileIO(stream, "w", closefd=False), "utf-8", write_through=True
            )
            setattr(sys, name, opened)
            setattr(sys, f"__{name}__", opened)
        try:
            main()
            code = 0
        except SystemExit as ended:
            code = ended.code or 0
    except BaseException as reason:
        os.write(2, repr(reason).encode())
    os._exit(code if isinstance(code, int) else 71)
