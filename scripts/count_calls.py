"""How much of the program one command passes through: `python scripts/count_calls.py`.

Prints, for some verbs on a small book, how many modules a process of its own loads and how many of
those are of `tracker`; how many functions of `tracker` are called, in how many files, how often;
and how often the read model is opened.
"""

import contextlib
import io
import os
import shlex
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from types import CodeType, FrameType

ROOT = Path(__file__).parents[1]
BOOK = (
    'charge "Calendula officinalis" --dried 100g --pour "500 ml 45%" --when 2025-03-03',
    "shake CAOF-25-01 --when 2025-03-04",
    'charge "Calendula officinalis" --dried 90g --pour "400 ml 45%" --when 2025-03-05',
)
COUNTED = (
    "press CAOF-25-01 370ml --with hand --when 2025-04-05",
    "label CAOF-25-01A --to {home}/labels.pdf",
    "show CAOF-25-01A",
    "shake CAOF-25-02 --when 2025-04-06",
    "shelf",
    "due --on 2025-04-07",
)
STILLROOM = Path(sys.executable).with_name("stillroom")


@dataclass(slots=True)
class Passed:
    """What a run passed through."""

    functions: Counter[CodeType] = field(default_factory=Counter)
    model_opened: int = 0

    @property
    def files(self) -> set[str]:
        """The files of the functions."""
        return {code.co_filename for code in self.functions}

    def note(self, frame: FrameType, event: str, _: object) -> None:
        """Count one call, if it is of this program: what `sys.setprofile` hands over."""
        code = frame.f_code
        is_ours = "/tracker/" in code.co_filename.replace("\\", "/")
        if event == "call" and is_ours and not code.co_name.startswith("<"):
            self.functions[code] += 1


def passed(run: Callable[[], None]) -> Passed:
    """What a run passes through; modules are imported before, so that their bodies do not count."""
    found, connect = Passed(), sqlite3.connect

    def opening(*arguments: object, **options: object) -> sqlite3.Connection:
        found.model_opened += 1
        return connect(*arguments, **options)  # type: ignore[call-overload,no-any-return]  # as given

    sqlite3.connect = opening  # type: ignore[assignment]  # counted, then put back
    sys.setprofile(found.note)
    try:
        run()
    finally:
        sys.setprofile(None)
        sqlite3.connect = connect
    return found


def said(line: str) -> None:
    """One line of the command, in this process, its answer thrown away."""
    from tracker.cli.main import app

    with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
        app(shlex.split(line), standalone_mode=False)


def loaded(line: str) -> list[str]:
    """The modules that a process of its own loads for a line of the command."""
    words = [sys.executable, "-X", "importtime", str(STILLROOM), *shlex.split(line)]
    done = subprocess.run(words, check=True, capture_output=True, text=True)
    told = [one for one in done.stderr.splitlines() if one.startswith("import time:")]
    return [one.rpartition("|")[2].strip() for one in told[1:]]


def at_home(home: str) -> None:
    """Give the command a home of its own."""
    os.environ |= {
        "STILLROOM_BOOK": f"{home}/book",
        "STILLROOM_WRITER": "counter",
        "XDG_CACHE_HOME": f"{home}/cache",
        "XDG_STATE_HOME": f"{home}/state",
    }


def counted(number: int, place: str) -> str:
    """What one of the lines passes through, after those before it, in words."""
    line, home, other = COUNTED[number], f"{place}/home", f"{place}/other"
    at_home(home)
    for before in (*BOOK, *COUNTED[:number]):
        said(before.format(home=home))
    shutil.copytree(home, other)
    with contextlib.suppress(Exception):  # imports everything that is imported late
        said(f"{line.format(home=home)} --dry-run")
    found = passed(partial(said, line.format(home=home)))
    at_home(other)
    modules = loaded(line.format(home=other))
    own = sum(name.startswith("tracker") for name in modules)
    return (
        f"{line.split()[0]:6} {len(modules):4} modules, {own:3} of them here;"
        f" {len(found.functions):4} functions in {len(found.files):3} files,"
        f" {found.functions.total():6} calls; read model opened {found.model_opened} times"
    )


def main() -> None:
    """Print the counts."""
    for number in range(len(COUNTED)):
        with tempfile.TemporaryDirectory() as place:
            print(counted(number, place))


if __name__ == "__main__":
    main()
