#!/usr/bin/env python3
"""Live years of daemons at speed: `python scripts/long_clock.py --years 5 [--seed N]`.

Two machines share a book. Clocks jump by hours and by decades, machines sleep for hours and for
months, processes are killed before and after each step of a digest, disks are full, marks are
damaged. It prints what happened and ends with 1 where a promise was broken: one digest on each
day that a machine was awake for, no more repeats than kills and damages allow, the urgent line in
each, and a memory that does not grow.
"""

import argparse
import logging
import resource
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from tests.daemon.long_clock import LongClock

YEAR_DAYS = 365
# The book itself grows, and so does what is read of it where days lie ahead of a clock.
MAY_GROW_MIB = 40.0
# Every record is synced, which takes most of the time on a disk.
IN_MEMORY = Path("/dev/shm")


def most_mib() -> float:
    """The most memory this process ever had: getrusage(2), in kB on Linux."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def main() -> int:
    """Live so many years."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--years", type=float, default=5.0)
    parser.add_argument("--seed", type=int, default=0)
    wanted = parser.parse_args()
    logging.disable(logging.CRITICAL)
    with tempfile.TemporaryDirectory(dir=IN_MEMORY if IN_MEMORY.is_dir() else None) as home:
        clock = LongClock(Path(home), wanted.seed)
        clock.live(round(min(wanted.years, 1.0) * YEAR_DAYS))
        after_a_year = most_mib()
        clock.live(round(max(wanted.years - 1.0, 0.0) * YEAR_DAYS))
        grown = most_mib() - after_a_year
        sys.stdout.write(f"{clock.summary()}\nmemory: {after_a_year:.0f} MiB, then +{grown:.0f}\n")
        found = clock.broken()
        if grown > MAY_GROW_MIB:
            found.append(f"the memory grew by {grown:.0f} MiB")
        sys.stdout.write("\n".join([*found, ""]))
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
