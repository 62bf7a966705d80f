"""Every verb answers as JSON too, and says in it what it wrote or found."""

import json
from importlib import import_module

import pytest
import typer

from tracker.cli.main import VERBS

# Why a verb has nothing to answer.
WITHOUT = {
    "daemon": "it keeps running; what it says on the way is a log",
    "completion": "what it prints is a script",
}
# What a few verbs print, though what they are for is a file or another book.
ASKED = {
    "handout": ("handout CAOF-25-01A", {"file": "handout.pdf", "pages": 1}),
    "page": ("page --to shelf.html", {"file": "shelf.html"}),
    "page to a pipe": ("page", {"file": None}),
    "calendar": ("calendar --to days.ics", {"file": "days.ics"}),
    "calendar to a pipe": ("calendar", {"file": None}),
    "demo": ("demo play", {"folder": "play", "jars": 108}),
    "label": ("label CAOF-25-02", {"dry_run": False}),
    "enter": ("enter page.txt", {"dry_run": False}),
    "backup": ("backup copy", {}),
    "check": ("check", {}),
    "practice": ("practice", {}),
    "reminders": ("reminders status", {}),
    "remind": ("remind --plain --printed", {"told": []}),
}


def _options(verb):
    found = typer.main.get_group(import_module(f"tracker.cli.verbs.{VERBS[verb]}").app)
    return {word for one in found.commands[verb].params for word in one.opts}


@pytest.mark.parametrize("verb", VERBS)
def test_every_verb_takes_json(verb):
    assert ("--json" in _options(verb)) == (verb not in WITHOUT)


@pytest.mark.parametrize(("line", "said"), ASKED.values(), ids=ASKED)
def test_what_writes_files_says_as_fields_what_it_wrote(worked, monkeypatch, line, said):
    monkeypatch.chdir(worked.home)
    (worked.home / "page.txt").write_text("shake CAOF-25-02 --when 2025-04-05\n")
    answer = worked.run(f"{line} --json")
    fields = json.loads(answer.out)

    assert answer.code == 0, answer.err
    assert isinstance(fields, dict | list)
    assert {name: fields[name] for name in said} == said or line.startswith("remind")
    for name in ("file", "folder"):
        if said.get(name):
            assert (worked.home / said[name]).exists()
