"""Runs the tests: `python3 scripts/test.py [PYTEST ARGUMENTS]`. Standard library only."""

import subprocess
import sys

from venv_setup import ROOT, prepare, program

# A plain `pytest` leaves the thorough tests out; here they run too.
EVERYTHING = ["-m", ""]


def main() -> int:
    """Prepare the environment, then run pytest in it; returns its exit code."""
    prepare("dev")
    pytest = [str(program("python")), "-m", "pytest", *EVERYTHING, *sys.argv[1:]]
    return subprocess.run(pytest, cwd=ROOT, check=False).returncode


if __name__ == "__main__":
    sys.exit(main())
