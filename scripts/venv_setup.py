"""The project's own environment, `.venv`, for the scripts here. Standard library only."""

import os
import subprocess
import sys
import venv
from hashlib import sha256
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"


def program(name: str) -> Path:
    """Where a program of the environment is."""
    return VENV / "Scripts" / f"{name}.exe" if os.name == "nt" else VENV / "bin" / name


def prepare(extra: str = "") -> None:
    """Make `.venv` if there is none, and install the project if pyproject.toml has changed.

    What was installed last is kept as a stamp inside `.venv`; the extra `dev` includes the
    plain installation.
    """
    if sys.version_info < (3, 11):  # noqa: UP036 - what an older one must still get to say
        sys.exit(f"Python 3.11 or newer is needed; this is {sys.version.split()[0]}.")
    wanted = sha256((ROOT / "pyproject.toml").read_bytes()).hexdigest()
    stamps = [VENV / f"installed-{name}" for name in dict.fromkeys((extra or "plain", "dev"))]
    if program("python").exists() and any(_says(stamp, wanted) for stamp in stamps):
        return
    if not program("python").exists():
        print(f"Making {VENV} …", file=sys.stderr)
        venv.create(VENV, with_pip=True)
    what = f".[{extra}]" if extra else "."
    print(f"Installing {what} …", file=sys.stderr)
    pip = [str(program("python")), "-m", "pip", "install", "-q", "-e", what]
    if code := subprocess.run(pip, cwd=ROOT, check=False).returncode:
        sys.exit(code)
    stamps[0].write_text(wanted)


def _says(stamp: Path, wanted: str) -> bool:
    return stamp.exists() and stamp.read_text() == wanted
