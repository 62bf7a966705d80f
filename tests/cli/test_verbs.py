"""Every verb is called by its name, has its help, and every kind of fact has a verb."""

import ast
from importlib import import_module
from pathlib import Path
from typing import get_args

import pytest
import typer

import tracker.cli.verbs as folder
from tracker.cli.help.verb_table import LINES, VERBS
from tracker.core.facts.kinds import AnyFact

FOLDER = Path(folder.__file__).parent
MODULES = sorted(
    ".".join(path.relative_to(FOLDER).with_suffix("").parts)
    for path in FOLDER.rglob("*.py")
    if path.stem != "__init__"
)


def commands(module: str) -> set[str]:
    """What a module of verbs offers."""
    found = import_module(f"tracker.cli.verbs.{module}")
    return set(typer.main.get_group(found.app).commands) if hasattr(found, "app") else set()


@pytest.mark.parametrize("module", MODULES)
def test_every_verb_that_is_written_can_be_called(module):
    assert commands(module) == {verb for verb, where in VERBS.items() if where == module}


@pytest.mark.parametrize("verb", VERBS)
def test_every_verb_and_option_says_what_it_is_for(verb):
    found = import_module(f"tracker.cli.verbs.{VERBS[verb]}")
    command = typer.main.get_group(found.app).commands[verb]
    told = [one for one in command.params if not getattr(one, "hidden", False)]
    silent = [one.name for one in told if not getattr(one, "help", "")]

    assert (command.help or "").strip()
    assert silent == []


@pytest.mark.parametrize("verb", VERBS)
def test_the_help_of_a_verb_begins_with_its_line_among_all_verbs(verb):
    found = import_module(f"tracker.cli.verbs.{VERBS[verb]}")
    command = typer.main.get_group(found.app).commands[verb]

    assert (command.help or "").partition("\n")[0] == LINES[verb]


def test_every_kind_of_fact_is_recorded_by_a_verb():
    """A kind that nobody can record is none."""
    made = {
        node.func.id
        for path in FOLDER.rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text()))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
    }

    assert {kind.__name__ for kind in get_args(AnyFact)} - made == set()
