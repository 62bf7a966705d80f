#!/usr/bin/env python3
"""Break the read model again and again: `python scripts/fuzz_model.py [COUNT] [--seed N]`.

Bits are flipped, pages zeroed, swapped and taken from an older copy, rows edited, views and
journals planted; after each, every question is asked and recording prepared. Held to: the very
answers of the good model, no exception, within bounded time.
"""

import argparse
import sys
import tempfile
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from tests.command import Command
from tests.conftest import WORK
from tests.faults.breaking_models import BrokenModels


def main() -> int:
    """Break so many models; the first that is believed stops it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("count", type=int, nargs="?", default=2000)
    parser.add_argument("--seed", type=int, default=1, help="the first; the next ones follow")
    said = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        command = Command(Path(folder))
        command.practice('zone = "Europe/Berlin"\n')
        for line in WORK:
            command.ok(line)
        models = BrokenModels(Path(folder))
        seeds = range(said.seed, said.seed + said.count)
        how = Counter(models.break_one(seed) for seed in seeds)
    print(f"{said.count} broken models, each answered rightly: {dict(how)}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
