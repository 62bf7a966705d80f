"""Folders of its own for every test, and a worked book to begin from."""

import shutil
from pathlib import Path

import pytest

from tests.command import Command

# One jar through to bottles, one still macerating, one extract on hold. Invented.
WORK = (
    'charge "Calendula officinalis" --part flower --dried 100g --pour "500 ml 45%" '
    "--least 28d --count 2 --when 2025-03-03",
    'charge "Melissa officinalis" --part herb --dried 50g --pour "250 ml 45%" '
    "--least 28d --when 2025-03-03",
    "press CAOF-25-01 370ml --when 2025-04-05",
    "filter CAOF-25-01A 358ml --when 2025-04-07",
    "bottle CAOF-25-01A 3x100ml 1x50ml --when 2025-04-07",
    "press MEOF-25-01 180ml --when 2025-04-05",
    "look MEOF-25-01A --sign flecks --verdict hold --when 2025-04-20",
)


@pytest.fixture(autouse=True)
def _folders_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing a test does in this process reaches the real home or the maker's book."""
    home = tmp_path / "home"
    monkeypatch.setenv("HOME", str(home))
    for name in ("CACHE", "CONFIG", "DATA", "STATE"):
        monkeypatch.setenv(f"XDG_{name}_HOME", str(home / name.lower()))
    for name in ("STILLROOM_BOOK", "STILLROOM_WRITER", "NO_COLOR"):
        monkeypatch.delenv(name, raising=False)


@pytest.fixture(scope="session")
def _worked_book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    command = Command(tmp_path_factory.mktemp("worked"))
    command.practice('zone = "Europe/Berlin"\n')
    for line in WORK:
        command.ok(line)
    return command.book


@pytest.fixture
def worked(tmp_path: Path, _worked_book: Path) -> Command:
    """The command with a copy of the worked book."""
    command = Command(tmp_path)
    shutil.copytree(_worked_book, command.book)
    return command


@pytest.fixture
def command(tmp_path: Path) -> Command:
    """The command with no book yet."""
    return Command(tmp_path)
