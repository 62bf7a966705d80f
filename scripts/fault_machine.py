#!/usr/bin/env python3
"""Every fault at every file operation: `.venv/bin/python scripts/fault_machine.py`.

Each path of the program that writes is run once undisturbed, which gives the calls it makes.
Then it is run with each fault at each call: killed before it, after it and in the middle of a
write, with every error the call can answer, once or from then on, with short writes and with
writes that lie; with a synchronising tool that puts an older copy, the same or a conflict copy
there or takes the file away; with a second fault drawn by the seed; with faults below Python by
strace, where SQLite writes and calls are interrupted; and with the power cut after every change
of a simulated disk. After each, a witness who knows only what was tried and acknowledged looks
at what is left and at what the next commands make of it. Ends with 1 where a promise is broken.
"""

import argparse
import gc
import multiprocessing
import os
import random
import shutil
import sys
import tempfile
import time
from functools import cache, partial
from itertools import chain
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from faults.cases import case_of
from faults.children import warm_up
from faults.machine import Judged, Way, sample
from faults.real_disk import can_cut, cuts
from faults.report import broken, counts, table, totals
from faults.scenarios import SCENARIOS

_PARTS = 8
# Nothing here is about how fast a disk is.
_IN_MEMORY = Path("/dev/shm")


@cache
def _place(name: str) -> Path:
    """A folder of this process alone for one path, with nothing else in it."""
    place = Path(tempfile.gettempdir(), f"{os.getpid()}-{name}")
    place.mkdir(mode=0o700)
    return place


@cache
def _way(name: str) -> Way:
    return Way(SCENARIOS[name], _place(name))


def part_of(task: tuple[str, int], said: argparse.Namespace) -> list[Judged]:
    """Every so manieth case of one path, judged."""
    name, part = task
    if time.monotonic() > said.end:
        return []
    way = _way(name)
    cases = [*way.cases(), *way.pairs(said.pairs, said.seed)]
    if said.sample:
        cases = sample(cases, max(said.sample // len(SCENARIOS), 1), said.seed)
    outside = way.outside(said.strace) if part == 0 else iter(())
    judged = [way.judge(case) for case in chain(cases[part::_PARTS], outside)]
    if part == 1 and said.cuts and can_cut():
        judged += cuts(name, _place(f"{name}-disk"), said.cuts, said.seed)
    return judged


def one_case(text: str) -> list[Judged]:
    """One case once more, with what the run said."""
    case = case_of(text)
    if case.is_real:
        return list(cuts(case.path, _place("disk"), 1, 1, only=case))
    way = _way(case.path)
    judged = way.judge(case)
    if case.cut is None:
        print(f"exit {way.ended.code}\n{way.ended.out}{way.ended.err}")
    return [judged]


def judged_by(said: argparse.Namespace) -> list[Judged]:
    """All that was asked for."""
    warm_up()
    gc.freeze()  # a fork that looks for garbage copies every page
    if said.case:
        return one_case(said.case)
    names = said.path or list(SCENARIOS)
    tasks = [(name, part) for name in names for part in range(_PARTS)]
    random.Random(said.seed).shuffle(tasks)
    found: list[Judged] = []
    said.end = time.monotonic() + said.minutes * 60
    with multiprocessing.get_context("fork").Pool(said.jobs) as pool:
        for number, done in enumerate(pool.imap_unordered(partial(part_of, said=said), tasks), 1):
            found += done
            for one in done:
                for verdict in one.broken:
                    print(f"{one.case}: {verdict}  # {one.case.on}", file=sys.stderr)
            print(f"part {number} of {len(tasks)}: {len(found)} cases", file=sys.stderr)
    return found


def main() -> int:
    """1 where a promise is broken."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--path", action="append", choices=list(SCENARIOS), help="only this path")
    parser.add_argument("--case", help="one case, as it was printed")
    parser.add_argument("--pairs", type=int, default=60, help="of two faults, for each path")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--sample", type=int, default=0, help="about so many cases of all")
    parser.add_argument("--strace", type=int, default=6, help="steps of each call, each path")
    parser.add_argument("--cuts", type=int, default=6, help="on a real disk, for each path")
    parser.add_argument("--minutes", type=float, default=600, help="begin nothing more after that")
    parser.add_argument("--table", type=Path, help="write the counts by path, call and fault there")
    parser.add_argument("--jobs", type=int, default=os.cpu_count() or 1)
    said = parser.parse_args()
    if _IN_MEMORY.is_dir():
        tempfile.tempdir = str(_IN_MEMORY)
    begun = time.monotonic()
    place = Path(tempfile.mkdtemp(prefix="fault-machine-"))
    tempfile.tempdir = str(place)
    try:
        judged = judged_by(said)
    finally:
        shutil.rmtree(place, ignore_errors=True)
    wrong = list(broken(judged))
    print("\n".join((*counts(judged), *wrong)))
    hit, many = sum(one.was_hit for one in judged), sum(bool(one.broken) for one in judged)
    if said.table:
        said.table.write_text("\n".join(table(judged)) + "\n")
    print(totals(judged))
    print(f"{hit} faults, {many} with a promise broken, in {time.monotonic() - begun:.0f} s")
    return 1 if wrong or not hit else 0


if __name__ == "__main__":
    sys.exit(main())
