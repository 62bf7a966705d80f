#!/usr/bin/env python3
"""Ask everything of books that strangers wrote in: `python scripts/fuzz_hostile.py --minutes 60`.

Each book is an honest one (a small one, or the demo book) with a file beside it that fits the chain
and the shape of every kind, and never met the gate (`tests/hostile/any_line.py`). Every verb that
asks is asked, in every format; what records is tried. Held to: no exception but the expected ones,
and every answer is what it says it is (`tests/hostile/asked.py`).
"""

import argparse
import sys
import tempfile
import time
import traceback
from collections import Counter
from pathlib import Path
from random import Random

sys.path.insert(0, str(Path(__file__).parents[1]))

from tests.command import Command
from tests.conftest import WORK
from tests.hostile.asked import ask_all, ask_of, try_on
from tests.hostile.books import DEMO, beside, codes_there


def small_book(home: Path) -> Path:
    """Three jars, through to bottles."""
    command = Command(home)
    command.practice('zone = "Europe/Berlin"\n')
    for line in WORK:
        command.ok(line)
    return command.book


def asked_of(home: Path, honest: Path, seed: int) -> int:
    """Everything about one book of that seed; how much was asked."""
    chance = Random(seed)
    command, _ = beside(home, honest, chance, chance.choice((10, 30, 100)))
    codes = codes_there(command)
    some = chance.sample(codes, min(3, len(codes)))
    asked = ask_all(command)
    return asked + sum(ask_of(command, one) + try_on(command, one) for one in some)


def main() -> int:
    """Ask until the time is over; 1 where an answer broke."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--minutes", type=float, default=60)
    parser.add_argument("--seed", type=int, default=1, help="the first seed; the next ones follow")
    said = parser.parse_args()
    end, number, asked, broken = time.monotonic() + said.minutes * 60, said.seed, 0, Counter[str]()
    with tempfile.TemporaryDirectory() as kept:
        small = small_book(Path(kept))
        while time.monotonic() < end:
            with tempfile.TemporaryDirectory() as home:
                try:
                    asked += asked_of(Path(home), DEMO if number % 5 == 0 else small, number)
                except (Exception, SystemExit):
                    last = traceback.format_exc(limit=-6)
                    broken[last.splitlines()[-1][:160]] += 1
                    print(f"seed {number}\n{last}", file=sys.stderr, flush=True)
            number += 1
    print(f"{number - said.seed} books, {asked} questions, {broken.total()} books broke an answer")
    for why, many in broken.most_common():
        print(f"{many:6} {why}")
    return 1 if broken else 0


if __name__ == "__main__":
    sys.exit(main())
