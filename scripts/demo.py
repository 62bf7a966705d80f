"""Does the main job on the demo book, in a folder that is gone afterwards.

Standard library only: `python3 scripts/demo.py` makes `.venv` where there is none.
"""

import json
import os
import shlex
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

from venv_setup import prepare, program

BOOK = ["--book", "demo-book"]


def run(folder: Path, *words: str, shown: bool = True) -> str:
    """Run the installed command in a folder; print it and its answer, and give the answer."""
    homes = {f"XDG_{kind}_HOME": str(folder / kind.lower()) for kind in ("CACHE", "STATE")}
    environment = os.environ | homes | {"STILLROOM_WRITER": "demo", "PYTHONUTF8": "1"}
    if shown:
        print(f"\n$ stillroom {shlex.join(words)}", flush=True)
    answer = subprocess.run(
        [str(program("stillroom")), *words],
        cwd=folder,
        env=environment,
        check=False,
        encoding="utf-8",
        stdout=subprocess.PIPE,
    )
    if shown:
        print(answer.stdout, end="", flush=True)
    if answer.returncode:
        sys.exit(answer.returncode)
    return answer.stdout


def ask(folder: Path, *words: str) -> Any:  # noqa: ANN401 - the command's own JSON
    """The answer of an asking verb as JSON, unprinted."""
    return json.loads(run(folder, *BOOK, *words, "--json", shown=False))


def main_job(folder: Path) -> None:
    """From what is due to a filled bottle, and back over its history."""
    run(folder, "demo", "demo-book")
    for verb in ("due", "shelf", "stock"):
        run(folder, *BOOK, verb)

    charge = ["charge", "Hyssopus officinalis", "--part", "herb", "--dried", "120g"]
    run(folder, *BOOK, *charge, "--pour", "600 ml 45%", "--jar", "1 l", "--lid", "glass")
    jar = next(one for one in ask(folder, "shelf") if one["herb"] == "Hyssopus officinalis")
    run(folder, *BOOK, "shake", jar["code"])

    all_ready = [one["code"] for one in ask(folder, "due") if one["what"] == "ready"]
    shown = (ask(folder, "show", code) for code in all_ready)
    ready, may_give = next(
        (one["code"], one["possible_ml"]) for one in shown if one["possible_ml"]["from"]
    )
    pressed_ml = int((may_give["from"] + may_give["to"]) / 2)
    run(folder, *BOOK, "press", ready, f"{pressed_ml}ml", "--with", "hand")
    extract = f"{ready}A"
    filtered_ml = int(pressed_ml * 0.97)
    run(folder, *BOOK, "filter", extract, f"{filtered_ml}ml", "--through", "cloth")
    run(folder, *BOOK, "bottle", extract, "3x100ml", "2x50ml")
    run(folder, *BOOK, "show", extract)
    run(folder, *BOOK, "history", ready)
    run(folder, *BOOK, "remind", "--plain", "--printed")


def main() -> None:
    """Prepare the environment and do the job."""
    prepare()
    with tempfile.TemporaryDirectory() as folder:
        main_job(Path(folder))


if __name__ == "__main__":
    main()
