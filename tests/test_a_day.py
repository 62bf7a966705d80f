"""The day of docs/a-day.md is what a maker sees who types it in a real terminal."""

import tempfile
from pathlib import Path

import pytest

from scripts.record_day import PAGE, played

pytestmark = pytest.mark.thorough


def test_every_screen_of_the_day_is_what_is_shown_today():
    """If this fails and what is shown is right: python scripts/record_day.py."""
    page = PAGE.read_text()
    with tempfile.TemporaryDirectory() as folder:  # as short as there: a long one is wrapped
        again = played(page, Path(folder))

    assert again == page
