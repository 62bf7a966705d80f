"""Three jars of which every picture has something to show."""

import shutil
from pathlib import Path

import pytest

from tests.command import Command

# Three jars: one pressed and given out of, one by hand, one still macerating.
STORY = (
    'charge "Melissa officinalis" --dried 100g --pour "500 ml 45%" --least 28d --code A1'
    " --when 2025-01-01",
    "shake A1 --when 2025-01-02",
    "shake A1 --when 2025-01-12",
    'press A1 400ml --with "screw press" --when 2025-02-01',
    "dispense A1A 60ml --when 2025-04-10",
    "dispense A1A 60ml --when 2025-06-10",
    'charge "Inula helenium" --dried 100g --pour "500 ml 45%" --least 28d --code B1'
    " --when 2025-01-01",
    "press B1 350ml --with hand --when 2025-03-01",
    'charge "Inula helenium" --dried 100g --pour "500 ml 45%" --least 28d --longest 90d'
    " --code B2 --when 2025-06-20",
)


@pytest.fixture(scope="module")
def _told_book(tmp_path_factory) -> Path:
    command = Command(tmp_path_factory.mktemp("told")).practice('zone = "Europe/Berlin"\n')
    for line in STORY:
        command.ok(line)
    return command.book


@pytest.fixture
def told(command, _told_book) -> Command:
    """The command with a copy of the story's book."""
    shutil.copytree(_told_book, command.book)
    return command
