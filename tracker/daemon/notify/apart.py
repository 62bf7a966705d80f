"""What other people's libraries do to deliver a notice, in a process apart from the daemon.

Whatever they print, log or raise stays there, since an address may be in it. One that hangs,
ends the process or crashes takes nothing with it, and is stopped when its time is over.
"""

import json
import os
import signal
import subprocess
import sys
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from typing import Literal, get_args

Outcome = Literal["taken", "refused", "not understood", "failed", "no answer in time", "ended"]

# Without the current folder among the places that modules are looked for in.
_PROGRAM = ("-P", "-c", "from tracker.daemon.notify.apart_work import main; main()")
_MOST_BYTES = 10_000


@dataclass(frozen=True, slots=True)
class Answer:
    """How it went; `why` only where a library's own words are safe to show."""

    outcome: Outcome
    why: str = ""


def do_apart(work: str, given: Mapping[str, str | bool], limit_s: float) -> Answer:
    """Have a process of its own do a piece of `apart_work`, and wait for its answer.

    Args:
        work: the name of the work.
        given: what it is about; it goes through a pipe, where no list of processes shows it.
        limit_s: seconds after which it is stopped, with all that it started.
    """
    try:
        process = subprocess.Popen(
            [sys.executable, *_PROGRAM],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )
    except OSError as reason:
        return Answer("failed", reason.strerror or "the system cannot start another program")
    try:
        told, _ = process.communicate(json.dumps([work, dict(given)]).encode(), limit_s)
    except subprocess.TimeoutExpired:
        return Answer("no answer in time")
    finally:
        _stop(process)
    return _answer(told)


def _stop(process: "subprocess.Popen[bytes]") -> None:
    """End it and all it started, and let go of its pipes."""
    if process.poll() is None:
        with suppress(OSError):
            if os.name == "posix":
                os.killpg(process.pid, signal.SIGKILL)
            else:
                process.kill()
        process.wait()
    for pipe in (process.stdin, process.stdout):
        if pipe is not None:
            with suppress(OSError):
                pipe.close()


def _answer(told: bytes) -> Answer:
    """The answer, where it is one: a process that ended by itself has none."""
    try:
        outcome, why = json.loads(told[:_MOST_BYTES])
    except (ValueError, TypeError, RecursionError):
        return Answer("ended")
    if outcome not in get_args(Outcome) or not isinstance(why, str):
        return Answer("ended")
    return Answer(outcome, why)
