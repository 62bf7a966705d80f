"""docs/licences.md: every package that comes along, with the licence it says it has."""

import re
from importlib import metadata
from typing import ClassVar

import pytest

from scripts.make_licences import ELSEWHERE, EXTRAS, FILE, PERMISSIVE, licence_of, needed, rows
from scripts.make_lock import ROOT, pins


def written() -> dict[str, str]:
    """Each package of the page, and its licence."""
    return dict(re.findall(r"^\| ([a-z0-9-]+) \| (.+?) \|", FILE.read_text(), re.MULTILINE))


def test_every_package_that_comes_along_has_its_row():
    """If this fails a dependency has changed: run scripts/make_licences.py."""
    found = written()
    found.pop("package")

    assert set(found) == needed("stillroom", EXTRAS) | set(ELSEWHERE)


def test_every_licence_is_the_one_the_package_says():
    """Of the versions in the lock; another may say it in other words."""
    locked = {
        (pin.name, str(pin.version)) for pin in pins((ROOT / "requirements-dev.lock").read_text())
    }
    found = written()
    other = {
        name: licence
        for name, (licence, _) in rows().items()
        if name in ELSEWHERE or (name, metadata.version(name)) in locked
        if found[name] != licence
    }

    assert other == {}


def test_what_asks_for_more_than_its_text_is_explained():
    asking = {name for name, licence in written().items() if not PERMISSIVE.match(licence)} - {
        "package"
    }

    assert asking == {"fpdf2", "certifi", "pyphen"}
    assert all(f"**{name}**" in FILE.read_text() for name in asking)


def test_a_licence_in_no_known_words_is_not_guessed(monkeypatch):
    monkeypatch.setattr(metadata, "metadata", lambda name: _Silent())
    with pytest.raises(LookupError, match="stillpot says its licence in no known way"):
        licence_of("stillpot")


class _Silent:
    json: ClassVar = {"name": "stillpot"}
