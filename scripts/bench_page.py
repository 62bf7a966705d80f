#!/usr/bin/env python3
"""How long the page of many jars takes, as a whole process, and how often its floor that is.

    .venv/bin/python scripts/bench_page.py [--jars 10000]

The floor is measured in the same run: a process that loads the command's and the page's libraries,
decodes the same lines, and escapes as much text as the page holds.
"""

import argparse
import os
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Final

sys.path.insert(0, str(Path(__file__).parent))

from bench_shelf import write_shelf

from tracker.core.practice.practice import PRACTICE_FILE

JARS: Final = 500
MOST_S: Final = 1.0
MOST_TIMES: Final = 6.0
MOST_MIB: Final = 80.0
RUNS: Final = 5
STILLROOM: Final = Path(sys.executable).parent / "stillroom"
FLOOR: Final = """
import sys
import jinja2, markupsafe, msgspec, typer
lines = open(sys.argv[1], "rb").read().splitlines()
events = [msgspec.json.decode(line) for line in lines]
page = open(sys.argv[2], encoding="utf-8").read()
written = [str(markupsafe.escape(line)) for line in page.splitlines()]
"""


class Home:
    """A book of its own, with its cache and its state beside it."""

    def __init__(self, folder: Path, jars: int) -> None:
        self.book, self.page = folder / "book", folder / "shelf.html"
        self.codes = write_shelf(self.book, jars)
        (self.book / PRACTICE_FILE).write_text('zone = "UTC"\n')
        self.env = os.environ | {
            "XDG_CACHE_HOME": str(folder / "cache"),
            "XDG_STATE_HOME": str(folder / "state"),
            "XDG_CONFIG_HOME": str(folder / "config"),
        }
        self.env.pop("PYTHONDONTWRITEBYTECODE", None)

    @property
    def lines(self) -> Path:
        """The one file of its events."""
        return next((self.book / "events").iterdir())

    def stillroom(self, *words: str) -> tuple[float, float]:
        """Processor time in s and the most memory in MiB of one run of the command."""
        return used([str(STILLROOM), "--book", str(self.book), *words], self.env)


def used(command: list[str], env: dict[str, str]) -> tuple[float, float]:
    """Processor time in s, since other work on the machine does not count, and MiB at most."""
    process = subprocess.Popen(
        command, env=env, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    _, status, usage = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode:
        raise SystemExit(f"{' '.join(command[:4])} … ended with {process.returncode}")
    return usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1024


def figures(jars: int = JARS, runs: int = RUNS) -> list[tuple[str, float, float]]:
    """Each figure by name, with the limit that holds for 500 jars: the least of some runs."""
    with tempfile.TemporaryDirectory() as folder:
        home = Home(Path(folder), jars)
        home.stillroom("due")  # makes the read model
        took, floors = [], []
        floor = [sys.executable, "-c", FLOOR, str(home.lines), str(home.page)]
        for _ in range(runs):
            took.append(home.stillroom("page", "--to", str(home.page), "--force"))
            floors.append(used(floor, home.env))
        page_s, page_mib = min(took)
        floor_s, _ = min(floors)
    return [
        (f"page of {jars} jars, s", page_s, MOST_S),
        (f"page of {jars} jars / floor", page_s / floor_s, MOST_TIMES),
        (f"page of {jars} jars, MiB", page_mib, MOST_MIB),
    ]


def said(found: list[tuple[str, float, float]]) -> int:
    """Print the figures; 1 where one is over its limit."""
    for name, value, limit in found:
        over = "   OVER" if value > limit else ""
        print(f"{name:<44}{value:>8.2f}   at most {limit:g}{over}")
    return int(any(value > limit for _, value, limit in found))


def main() -> int:
    """Measure and say; 1 where a limit is passed, which another number of jars has none of."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--jars", type=int, default=JARS)
    jars = parser.parse_args().jars
    found = figures(jars, RUNS if jars <= JARS else 1)
    if jars == JARS:
        return said(found)
    return said([(name, value, float("inf")) for name, value, _ in found])


if __name__ == "__main__":
    sys.exit(main())
