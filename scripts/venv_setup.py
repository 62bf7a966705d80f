"""The project's own environment, `.venv`, for the scripts here. Standard library only."""

import os
import platform
import subprocess
import sys
import venv
from hashlib import sha256
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
_OLDEST = (3, 11)
# Where the locks were tried. Elsewhere a package may have nothing ready for the system, or no
# version of those in the lock for a Python that came later.
_LOCKED_PYTHONS = ((3, 11), (3, 12), (3, 13))
_LOCKED_MACHINES = ("x86_64", "aarch64")


def program(name: str) -> Path:
    """Where a program of the environment is."""
    return VENV / "Scripts" / f"{name}.exe" if os.name == "nt" else VENV / "bin" / name


def lock_for(extra: str) -> Path | None:
    """The lock to install from on this machine; None where the ranges decide."""
    tried = (
        sys.platform == "linux"
        and platform.python_implementation() == "CPython"
        and sys.version_info[:2] in _LOCKED_PYTHONS
        and platform.machine() in _LOCKED_MACHINES
    )
    return ROOT / f"requirements{f'-{extra}' if extra else ''}.lock" if tried else None


def prepare(extra: str = "") -> None:
    """Make `.venv` if there is none, and install the project if what it needs has changed.

    What was installed last is kept as a stamp inside `.venv`; the extra `dev` includes the
    plain installation.
    """
    if sys.version_info < _OLDEST:
        sys.exit(f"Python 3.11 or newer is needed; this is {sys.version.split()[0]}.")
    stamps = {name: _stamp(name) for name in dict.fromkeys((extra, "dev"))}
    if program("python").exists() and any(map(_is_installed, stamps, stamps.values())):
        return
    if not program("python").exists():
        print(f"Making {VENV} …", file=sys.stderr)
        venv.create(VENV, with_pip=True)
    if lock := lock_for(extra):
        print(f"Installing what {lock.name} names …", file=sys.stderr)
        _pip("--require-hashes", "-r", str(lock))
        _pip("--no-deps", "--no-build-isolation", "-e", ".")
    else:
        what = f".[{extra}]" if extra else "."
        print(f"Installing {what}, the newest that its ranges allow …", file=sys.stderr)
        _pip("-e", what)
    _stamp_file(extra).write_text(stamps[extra])


def _pip(*arguments: str) -> None:
    pip = [str(program("python")), "-m", "pip", "install", "-q", *arguments]
    if code := subprocess.run(pip, cwd=ROOT, check=False).returncode:
        sys.exit(code)


def _stamp(extra: str) -> str:
    """What an installation is made of: the ranges, and the lock where there is one."""
    lock = lock_for(extra)
    files = [ROOT / "pyproject.toml", *([lock] if lock else [])]
    return sha256(b"\0".join(file.read_bytes() for file in files)).hexdigest()


def _stamp_file(extra: str) -> Path:
    return VENV / f"installed-{extra or 'plain'}"


def _is_installed(extra: str, wanted: str) -> bool:
    stamp = _stamp_file(extra)
    return stamp.exists() and stamp.read_text() == wanted
