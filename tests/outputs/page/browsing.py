"""A real browser, headless: Debian's Chromium, driven by playwright."""

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from playwright.sync_api import Browser, sync_playwright

NAMES = ("chromium", "chromium-browser", "google-chrome")


@contextmanager
def a_browser() -> Iterator[Browser]:
    """The browser; where there is none the test is skipped and says so, and fails under CI."""
    program = next((found for name in NAMES if (found := shutil.which(name))), None)
    if program is None:
        words = "NOT TESTED, the page in a browser needs: apt-get install chromium"
        if os.environ.get("CI"):
            pytest.fail(words)
        pytest.skip(words)
    with sync_playwright() as driver:
        # Chromium's own sandbox does not work for root, and only our own page is opened.
        browser = driver.chromium.launch(executable_path=program, args=["--no-sandbox"])
        try:
            yield browser
        finally:
            browser.close()
