#!/usr/bin/env python3
"""Live any lives for as long as wanted: `python scripts/live_long.py --minutes 60 [--seed N]`.

Each seed drives the machine of tests/meeting through a few long lives. It stops at the first
promise that is broken, with the shortest life that breaks it, and says which seed found it.
"""

import argparse
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from hypothesis import Verbosity, seed, settings
from hypothesis.stateful import run_state_machine_as_test

from tests.meeting.test_two_writers_any_life import UndoneLife, lived
from tests.meeting.two_books import Tally
from tracker.core.facts.kinds import KINDS

LIVES, STEPS = 10, 300


def live(number: int) -> None:
    """A few lives of one seed; raises what breaks first."""
    several = settings(lived(LIVES, STEPS), derandomize=False, verbosity=Verbosity.normal)
    run_state_machine_as_test(seed(number)(UndoneLife), settings=several)


def told(tally: Tally) -> str:
    """How far it has come."""
    missing = ", ".join(sorted(KINDS.keys() - tally.kinds.keys())) or "none"
    kinds = ", ".join(f"{kind} {many}" for kind, many in tally.kinds.most_common())
    refusals = "\n".join(f"  {many:6} {why}" for why, many in tally.refusals.most_common(40))
    return f"{tally.steps} steps; kinds: {kinds}; not reached: {missing}\nrefused:\n{refusals}"


def main() -> int:
    """Live until the time is over; 1 where something broke."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--minutes", type=float, default=60)
    parser.add_argument("--seed", type=int, default=1, help="the first seed; the next ones follow")
    said = parser.parse_args()
    end, number = time.monotonic() + said.minutes * 60, said.seed
    while time.monotonic() < end:
        try:
            live(number)
        except BaseException:
            print(f"seed {number} after {UndoneLife.tally.steps} steps", file=sys.stderr)
            raise
        print(f"seed {number}: {UndoneLife.tally.steps} steps so far", flush=True)
        number += 1
    print(told(UndoneLife.tally))
    return 0


if __name__ == "__main__":
    sys.exit(main())
