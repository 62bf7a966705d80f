"""The demo book on one day, and the browser that looks at it."""

import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from PIL import Image
from playwright.sync_api import Browser

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from pictures.png import taken  # noqa: E402 - found from the root
from tests.command import Command  # noqa: E402
from tests.daemon.running import WallClock  # noqa: E402
from tests.outputs.page.browsing import a_browser  # noqa: E402

# The last day of the demo book as it was made, so that no code and no date of it is moved.
NOW = "2026-11-20T09:00:00"
ZONE = "Europe/Berlin"
PHONE = 390
# How much of the page, above the links at its foot, belongs to a row that is cut there.
CUT = """() => {
    const foot = document.querySelector("nav").getBoundingClientRect().top
    const ends = [...document.querySelectorAll("main li")].map(
        (row) => row.getBoundingClientRect().bottom)
    return foot - Math.max(...ends.filter((end) => end <= foot))
}"""


@dataclass(frozen=True)
class Stage:
    """The command with the demo book, and a browser."""

    command: Command
    browser: Browser

    def file(self, line: str, name: str) -> Path:
        """What a verb writes, by a name in the home of the stage."""
        self.command.ok(f"{line} --to {name} --force")
        return self.command.home / name

    def looked_at(
        self,
        page: Path,
        *,
        width: int,
        height: int,
        scale: float = 1.5,
        colours: Literal["light", "dark"] = "light",
        only: str = "",
    ) -> Image.Image:
        """A page as the browser shows it: the first screen, or `only` one element as a whole."""
        view = self.browser.new_page(
            viewport={"width": width, "height": height},
            device_scale_factor=scale,
            color_scheme=colours,
        )
        try:
            view.goto(page.as_uri())
            seen = view.locator(only).first.screenshot() if only else view.screenshot()
        finally:
            view.close()
        return taken(seen)

    def phone_high(self, page: Path, most: int) -> int:
        """How high a phone is, at most, whose links at the foot cut no row of the page."""
        view = self.browser.new_page(viewport={"width": PHONE, "height": most})
        try:
            view.goto(page.as_uri())
            cut: float = view.evaluate(CUT)
        finally:
            view.close()
        return most - round(cut)


@contextmanager
def stage() -> Iterator[Stage]:
    """The demo book in a folder that is gone afterwards, on a morning that never changes."""
    with tempfile.TemporaryDirectory(prefix="sr-") as folder, a_browser() as browser:
        command = Command(Path(folder), zone=ZONE)
        command.env |= {"LANG": "C.UTF-8", "STILLROOM_BOOK": str(command.home / "book")}
        WallClock(command).set(NOW)
        command.ok("demo", str(command.book))
        yield Stage(command, browser)
