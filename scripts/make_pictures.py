"""Makes docs/pictures/: what Stillroom prints, shows and says of the demo book, on one day.

    python scripts/make_pictures.py              all of them
    python scripts/make_pictures.py due lids     these alone
    python scripts/make_pictures.py --check      whether docs and folder have just these

Needs Chromium, libfaketime, Xvfb and dunst from Debian; each is named where it is missing.
"""

import argparse
import re
import sys
from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path

from pictures import paper, screens
from pictures.overview import overview
from pictures.png import write_small
from pictures.stage import ROOT, Stage, stage
from pictures.terminal import terminal
from PIL import Image

FOLDER = ROOT / "docs" / "pictures"
PAGES = (ROOT / "README.md", *sorted((ROOT / "docs").glob("*.md")))
PICTURES: Mapping[str, Callable[[Stage], Image.Image]] = {
    "overview": overview,
    "due": partial(terminal, line="due"),
    "shelf": partial(terminal, line="shelf"),
    "labels": paper.labels,
    "lids": paper.lids,
    "short-labels": paper.short_labels,
    "record": paper.record,
    "handout": paper.handout,
    "page-phone": partial(screens.page_on_a_phone, colours="light"),
    "page-phone-dark": partial(screens.page_on_a_phone, colours="dark"),
    "page-desktop": screens.page_on_a_desk,
    "timeline": partial(screens.drawn, line="timeline CAOF-26-01", high=540),
    "season": partial(screens.drawn, line="season", high=620),
    "supply": partial(screens.drawn, line="supply", high=620),
    "message": screens.message,
}

# The green of what is ready is a few words on a dark screen.
TERMINALS = ("due", "shelf")


def make(names: list[str], folder: Path) -> None:
    """Make these pictures, and say how large each is."""
    folder.mkdir(exist_ok=True)
    with stage() as book:
        for name in names:
            file = folder / f"{name}.png"
            made = write_small(PICTURES[name](book), file, rare=name in TERMINALS)
            size = file.stat().st_size / 1000
            print(f"{name:14} {made.width:5} × {made.height:4} {size:5.1f} kB", flush=True)


def misfits() -> list[str]:
    """What is shown, made or there, and not all three."""
    shown = {
        name for page in PAGES for name in re.findall(r"pictures/(.+?)\.png", page.read_text())
    }
    there = {file.stem for file in FOLDER.glob("*")}
    return [
        *(f"{name}: shown in the docs, but not made here" for name in sorted(shown - {*PICTURES})),
        *(f"{name}: made here, but shown nowhere" for name in sorted({*PICTURES} - shown)),
        *(f"{name}: not in {FOLDER.name}" for name in sorted({*PICTURES} - there)),
        *(f"{name}: in {FOLDER.name}, but not made here" for name in sorted(there - {*PICTURES})),
    ]


def main() -> int:
    """Make or check them; 1 where they do not fit the docs."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("names", nargs="*", choices=[*PICTURES, []], metavar="NAME")
    parser.add_argument("--check", action="store_true", help="make none; compare with the docs")
    parser.add_argument("--folder", type=Path, default=FOLDER, help="where to; else docs/pictures")
    given = parser.parse_args()
    if given.check:
        for one in (found := misfits()):
            print(one)
        return bool(found)
    make(given.names or [*PICTURES], given.folder)
    return 0


if __name__ == "__main__":
    sys.exit(main())
