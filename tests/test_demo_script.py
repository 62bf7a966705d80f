"""The first command of the README, as a new user runs it, but for the installation."""

import subprocess
import sys
from pathlib import Path

from tests.command import STILLROOM

ROOT = Path(__file__).parents[1]

WITHOUT_INSTALLING = """
import sys
from pathlib import Path
sys.path.insert(0, sys.argv[1])
import demo
demo.program = lambda name: Path(sys.argv[2])
demo.prepare = lambda: None
demo.main()
"""


def test_the_demo_does_the_main_job_to_its_end():
    words = [WITHOUT_INSTALLING, str(ROOT / "scripts"), str(STILLROOM)]
    done = subprocess.run(
        [sys.executable, "-c", *words], check=False, capture_output=True, encoding="utf-8"
    )

    assert done.returncode == 0, done.stderr
    _, reminded = done.stdout.split("$ stillroom --book demo-book remind")
    assert "past its longest" in reminded
