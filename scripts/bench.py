#!/usr/bin/env python3
"""Every speed that is promised, as a ratio to a floor measured in the same run.

    .venv/bin/python scripts/bench.py            books of 10k, 100k and 1M events: twenty minutes
    .venv/bin/python scripts/bench.py --quick    10k and 100k: some five minutes

Ends with 1 where a row does not reach what it has to, and names it. The floors: `python -c pass`;
a typer program of two verbs that prints a line; and F, which decodes the same lines with orjson,
checks their SHA-256 chain and counts them in a dictionary. DEVELOPERS.md says what each row is.
"""

import argparse
import importlib.util
import os
import platform
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from pathlib import Path

import bench_daemon
import bench_labels
import bench_page
from speed.homes import Home
from speed.measures import Machine, asking, late, library, page, rebuilding, recording
from speed.processes import RunError, run
from speed.rows import Row, table

SCRIPTS = Path(__file__).parent
_SIZES, _QUICK = (10_000, 100_000, 1_000_000), (10_000, 100_000)
_MIXED = _LIBRARY = 100_000  # the most events of these: more takes long and says no more
PARTS = ("asking", "recording", "rebuilding", "late", "page", "library", "paper", "daemon")


def arguments(given: list[str]) -> argparse.Namespace:
    """What was asked for."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=_Plain)
    parser.add_argument("--quick", action="store_true", help="two sizes, fewer runs")
    parser.add_argument("--sizes", type=int, nargs="+", help="events of each book")
    parser.add_argument("--runs", type=int, help="rounds of the short rows")
    parser.add_argument("--only", nargs="+", choices=PARTS, default=PARTS, help="these parts")
    parser.add_argument(
        "--program", type=Path, default=Path(sys.executable).parent, help="the bin of another venv"
    )
    said = parser.parse_args(given)
    said.sizes = sorted(said.sizes or (_QUICK if said.quick else _SIZES))
    said.runs = said.runs or (11 if said.quick else 25)
    return said


class _Plain(argparse.RawDescriptionHelpFormatter):
    pass


def missing(program: Path) -> list[str]:
    """What this needs and does not have, in words."""
    said = [
        f"{name} is not installed: pip install -e '.[bench]'"
        for name in ("orjson", "eventsourcing")
        if importlib.util.find_spec(name) is None
    ]
    said += [
        f"{program / name} is not there"
        for name in ("stillroom", "python")
        if not (program / name).exists()
    ]
    if not hasattr(os, "sched_setaffinity"):
        said.append("one core alone can be given to a process on Linux only")
    return said


def written(machine: Machine, size: int, kind: str = "plain") -> Home:
    """A home with a book of so many events, asked once."""
    home = Home(machine.work / f"{kind}-{size}", machine.program, size)
    home.place.mkdir()
    script = [sys.executable, str(SCRIPTS / "bench_book.py"), str(home.book), str(size), kind]
    subprocess.run(script, check=True)
    for verb in ("due", "shelf", "stock"):
        run(home.task(verb))
    return home


def measured(machine: Machine, said: argparse.Namespace) -> Iterator[Row]:
    """Every row, in the order of the table."""
    homes = {size: written(machine, size) for size in said.sizes}
    small, large = homes[said.sizes[0]], homes[said.sizes[-1]]
    named = {f"{size:,}": home for size, home in homes.items()}
    some = max((size for size in homes if size <= _LIBRARY), default=said.sizes[0])
    few, fewer = min(said.runs, 7), min(said.runs, 3)
    if "asking" in said.only:
        yield from asking(machine, homes, said.runs)
    if "recording" in said.only:
        yield from recording(machine, small, min(said.runs, 15))
    if "rebuilding" in said.only:
        mixed = min(large.events, _MIXED)
        named |= {f"{mixed:,} mixed": written(machine, mixed, "mixed")}
        yield from rebuilding(
            machine, named, lambda home: few if len(home) <= _MIXED else min(few, 3)
        )
    if "late" in said.only:
        yield from late(large, few)
    if "page" in said.only:
        yield from page(machine, large, fewer)
    if "library" in said.only:
        yield from library(machine, homes[some], few)
    if "paper" in said.only:
        # The page first: a process counts as its own what the one that starts it had in memory.
        yield from plain(bench_page.figures())
        yield from plain(bench_labels.figures())
    if "daemon" in said.only:
        yield from plain(bench_daemon.figures(1.0 if said.quick else 10.0))


def plain(figures: Sequence[tuple[str, float, float]]) -> Iterator[Row]:
    """The figures of another bench, each with its limit, as rows."""
    for name, value, limit in figures:
        what, comma, unit = name.rpartition(", ")
        yield Row(what if comma else name, value, unit if comma else "×", reach=limit)


def main() -> int:
    """Print the table; 1 where a row is over, 2 where something is missing."""
    said = arguments(sys.argv[1:])
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    if lacks := missing(said.program):
        print("\n".join(lacks), file=sys.stderr)
        return 2
    with tempfile.TemporaryDirectory(prefix="bench-") as folder:
        rows, why = told(measured(Machine(Path(folder), said.program), said))
    print(f"{time.strftime('%Y-%m-%d', time.gmtime())}, {_machine()}\n")
    print(table(rows))
    over = [row.name for row in rows if row.is_over]
    print("", *(f"OVER: {name}" for name in over), sep="\n")
    if why:
        print(why, file=sys.stderr)
    return 2 if why else int(bool(over))


def told(measuring: Iterator[Row]) -> tuple[list[Row], str]:
    """The rows, each said as soon as it is there, and why there are no more of them."""
    rows: list[Row] = []
    try:
        for row in measuring:
            print(f"{row.name}: {row.value:.2f} {row.unit}", file=sys.stderr)
            rows.append(row)
    except RunError as reason:
        return rows, str(reason)
    return rows, ""


def _machine() -> str:
    cores = len(os.sched_getaffinity(0))
    return f"{cores} cores ({platform.machine()}), Python {platform.python_version()}"


if __name__ == "__main__":
    sys.exit(main())
