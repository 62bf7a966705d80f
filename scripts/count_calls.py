"""How much of the program one command passes through: `python scripts/count_calls.py`.

Prints, for `press`, `label` and `show` on a small book, how many functions of `tracker` are
called, in how many files, how often, and how often the read model is opened.
"""

import contextlib
import io
import os
import sqlite3
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
)
COUNTED = (
    "press CAOF-25-01 370ml --with hand --when 2025-04-05",
    "label CAOF-25-01A --to {home}/labels.pdf",
    "show CAOF-25-01A",
)


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
    import shlex

    from tracker.cli.main import app

    with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
        app(shlex.split(line), standalone_mode=False)


def main() -> None:
    """Print the counts."""
    for number, line in enumerate(COUNTED):
        with tempfile.TemporaryDirectory() as home:
            os.environ |= {
                "STILLROOM_BOOK": f"{home}/book",
                "STILLROOM_WRITER": "counter",
                "XDG_CACHE_HOME": f"{home}/cache",
                "XDG_STATE_HOME": f"{home}/state",
            }
            for before in (*BOOK, *COUNTED[:number]):
                said(before.format(home=home))
            with contextlib.suppress(Exception):  # imports everything that is imported late
                said(f"{line.format(home=home)} --dry-run")
            found = passed(partial(said, line.format(home=home)))
        print(
            f"{line.split()[0]:6} {len(found.functions):4} functions in {len(found.files):3} files,"
            f" {found.functions.total():6} calls; read model opened {found.model_opened} times"
        )


if __name__ == "__main__":
    main()
