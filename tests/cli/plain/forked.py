"""The program as a process of its own, forked from this one, at a clock of its own."""

import fcntl
import io
import os
import pty
import shlex
import struct
import sys
import termios
import time
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime

from tests.command import Answer, Command
from tracker import clock
from tracker.cli import start
from tracker.cli.plain import at_hand
from tracker.cli.plain.plain_answer import answer_plainly
from tracker.cli.plain.plain_line import plain_line


@dataclass
class Screen:
    """Where the answer goes: a pipe, or a terminal so wide."""

    columns: int | None = None


def asked(
    command: Command, line: str, now: float, screen: Screen | None = None, *, fully: bool = False
) -> tuple[Answer, bool]:
    """What the program prints, and whether that was at hand.

    Args:
        command: the book and its surroundings.
        line: a plain line.
        now: the time it is run at, in seconds since 1970.
        screen: where it prints to.
        fully: whether nothing that is at hand is looked for, or kept.
    """
    columns = None if screen is None else screen.columns
    out, out_end = pty.openpty() if columns else os.pipe()
    if columns:
        fcntl.ioctl(out_end, termios.TIOCSWINSZ, struct.pack("HHHH", 40, columns, 0, 0))
    err, err_end = os.pipe()
    hit, hit_end = os.pipe()
    child = os.fork()
    if child == 0:
        os.dup2(out_end, 1)
        os.dup2(err_end, 2)
        for one in (out, err, hit):
            os.close(one)
        _run(command, line, now, fully, hit_end)
    for one in (out_end, err_end, hit_end):
        os.close(one)
    printed, said, at_once = _all(out), _all(err), _all(hit)
    _, status = os.waitpid(child, 0)
    answer = Answer(os.waitstatus_to_exitcode(status), printed.decode(), said.decode())
    return answer, bool(at_once)


def _all(descriptor: int) -> bytes:
    found = b""
    with suppress(OSError):  # a terminal ends so
        while more := os.read(descriptor, 65536):
            found += more
    os.close(descriptor)
    return found


def _run(command: Command, line: str, now: float, fully: bool, hit: int) -> None:
    code: object = 70
    try:
        os.environ.clear()
        os.environ.update(command.env)
        time.tzset()
        os.chdir(command.home)
        sys.argv = ["stillroom", *shlex.split(line)]
        sys.stdin = io.StringIO()
        sys.stdout = sys.__stdout__ = io.TextIOWrapper(io.FileIO(1, "w", closefd=False), "utf-8")
        sys.stderr = sys.__stderr__ = io.TextIOWrapper(io.FileIO(2, "w", closefd=False), "utf-8")
        clock.now = lambda where: datetime.fromtimestamp(now, where)
        clock.nanoseconds = lambda: int(now * 1e9)
        read = at_hand.answer_at_hand

        def noted(looked: at_hand.Looked) -> bytes | None:
            found = read(looked)
            os.write(hit, b"x" * (found is not None))
            return found

        start.answer_at_hand = noted
        try:
            answer_plainly(plain_line(sys.argv[1:]), None) if fully else start.main()
            code = 0
        except SystemExit as ended:
            code = ended.code or 0
    except BaseException as reason:
        os.write(2, repr(reason).encode())
    os._exit(code if isinstance(code, int) else 71)
