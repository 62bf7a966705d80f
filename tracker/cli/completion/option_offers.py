"""What is offered where options stand: the verb itself is asked what it takes."""

from collections.abc import Iterator, Sequence
from importlib import import_module

import typer
from typer.core import TyperCommand

from tracker.cli.help.verb_table import VERBS


def option_offers(verb: str, given: Sequence[str]) -> Iterator[tuple[str, str]]:
    """The options of a verb that were not given yet, each with what it is for."""
    for one in _command(verb).params:
        if one.param_type_name != "option" or getattr(one, "hidden", False):
            continue
        names = [*one.opts, *one.secondary_opts]
        if getattr(one, "multiple", False) or not {*names} & {*given}:
            about = getattr(one, "help", None) or ""
            yield from ((name, about) for name in names if name.startswith("--"))
    yield "--help", "What it takes, and examples."


def place_in(verb: str, given: Sequence[str]) -> int | None:
    """Which argument comes next; None where an option waits for what it takes."""
    flags = {
        name: getattr(one, "is_flag", False)
        for one in _command(verb).params
        for name in (*one.opts, *one.secondary_opts)
    }
    place, waits, ended = 0, False, False
    for word in given:
        if waits:
            waits = False
        elif word == "--" and not ended:
            ended = True
        elif word.startswith("-") and not ended:
            waits = "=" not in word and not flags.get(word, True)
        else:
            place += 1
    return None if waits else place


def _command(verb: str) -> TyperCommand:
    module = import_module(f"tracker.cli.verbs.{VERBS[verb]}")
    found = typer.main.get_group(module.app).commands[verb]
    assert isinstance(found, TyperCommand)
    return found
