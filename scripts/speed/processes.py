"""Whole processes, timed in rounds: each round runs every task once, one after the other.

What is compared is compared within a round, so that a machine that is slower for a while is slower
for both.
"""

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple

_LOOK_S = 0.02
_FEW = 3  # rounds that are too long, or too little waited for, to run one more


class Ran(NamedTuple):
    """What one process took."""

    wall_s: float
    cpu_s: float


class RunError(Exception):
    """A process that was to be timed did not do what it should."""


def _nothing() -> None:
    return None


@dataclass(frozen=True)
class Task:
    """A process to be timed: its words for each run, its environment, and what is done before."""

    words: Callable[[], Sequence[str]]
    env: Mapping[str, str]
    before: Callable[[], None] = _nothing
    cores: int | None = None


def run(task: Task) -> Ran:
    """Run a task once; what is done before it is not timed.

    Raises:
        RunError: it ended with another code than 0.
    """
    task.before()
    words = list(task.words())
    ours = os.sched_getaffinity(0)
    if task.cores:
        os.sched_setaffinity(0, sorted(ours)[: task.cores])
    try:
        with tempfile.TemporaryFile() as said:
            began = time.perf_counter()
            child = os.posix_spawn(
                words[0],
                words,
                task.env,
                file_actions=[
                    (os.POSIX_SPAWN_OPEN, 0, os.devnull, os.O_RDONLY, 0),
                    (os.POSIX_SPAWN_OPEN, 1, os.devnull, os.O_WRONLY, 0),
                    (os.POSIX_SPAWN_DUP2, said.fileno(), 2),
                ],
            )
            _, status, used = os.wait4(child, 0)
            took = time.perf_counter() - began
            if code := os.waitstatus_to_exitcode(status):
                said.seek(0)
                why = said.read(2000).decode(errors="replace")
                raise RunError(f"{' '.join(words)[:200]} ended with {code}: {why}")
    finally:
        os.sched_setaffinity(0, ours)
    return Ran(took, used.ru_utime + used.ru_stime)


def rounds(tasks: Mapping[str, Task], runs: int) -> dict[str, list[Ran]]:
    """Every run of every task; of many rounds the first is left out, and one more is run."""
    found: dict[str, list[Ran]] = {name: [] for name in tasks}
    warm = int(runs > _FEW)
    for number in range(-warm, runs):
        for name, task in tasks.items():
            ran = run(task)
            if number >= 0:
                found[name].append(ran)
    return found


# A process has the peak of whoever started it for its own at first: so a small one starts it.
_SMALL = """
import os, sys
child = os.posix_spawn(sys.argv[1], sys.argv[1:], os.environ,
    file_actions=[(os.POSIX_SPAWN_OPEN, 1, os.devnull, os.O_WRONLY, 0)])
_, status, used = os.wait4(child, 0)
print(used.ru_maxrss)
sys.exit(os.waitstatus_to_exitcode(status))
"""


def peak_mib(task: Task) -> float:
    """The most memory a task holds: its largest process, or all of them at once if that is more."""
    task.before()
    small = [sys.executable, "-I", "-S", "-c", _SMALL, *task.words()]
    with subprocess.Popen(small, env=dict(task.env), stdout=subprocess.PIPE) as starter:
        most = 0
        while starter.poll() is None:
            if len(several := _below(starter.pid)) > 1:  # to look slows what is looked at
                most = max(most, sum(map(_held_kib, several)))
            time.sleep(_LOOK_S)
        assert starter.stdout
        said = starter.stdout.read()
    if starter.returncode:
        raise RunError(f"{' '.join(task.words())[:200]} ended with {starter.returncode}")
    return max(int(said), most) / 1024


def _below(pid: int) -> list[int]:
    """Every process below one."""
    try:
        own = [int(word) for word in Path(f"/proc/{pid}/task/{pid}/children").read_text().split()]
    except OSError:
        return []
    return [*own, *(one for child in own for one in _below(child))]


def _held_kib(pid: int) -> int:
    """What a process holds, with its share of what it holds together with others."""
    try:
        lines = Path(f"/proc/{pid}/smaps_rollup").read_text().splitlines()
        return next(int(line.split()[1]) for line in lines if line.startswith("Pss:"))
    except (OSError, StopIteration):
        return 0
