"""The help of one verb: what it takes of its own first, then examples and the verbs near to it."""

import tomllib
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from importlib.resources import files
from inspect import cleandoc
from textwrap import wrap
from typing import TYPE_CHECKING, NotRequired, TypedDict, cast

from tracker.cli.screen import columns

if TYPE_CHECKING:
    from typer.core import TyperCommand

# What several verbs take alike stands below what a verb takes of its own.
_SHARED = ("on", "when", "by", "note", "sure", "as_json", "as_csv", "dry_run")
_MOST_COLUMNS = 100
_VALUES = {"integer range": "NUMBER", "int range": "NUMBER", "integer": "NUMBER", "path": "FILE"}
_HELP = ("-h, --help", "Print this.")

Row = tuple[str, str]


class VerbExamples(TypedDict):
    """What the help of a verb ends with."""

    examples: Sequence[Row]  # a line of the command, and what it is for
    near: NotRequired[Mapping[str, str]]  # a verb that may be meant instead, and what it does


class Takes(TypedDict):
    """What a verb takes, each a name with what it is for."""

    arguments: Sequence[Row]
    own: Sequence[Row]
    shared: Sequence[Row]


@cache
def examples() -> Mapping[str, VerbExamples]:
    """The examples of every verb."""
    text = (files("tracker.cli.help") / "examples.toml").read_text("utf-8")
    return cast("Mapping[str, VerbExamples]", tomllib.loads(text))


def help_page(verb: "TyperCommand", path: str) -> str:
    """The help of a verb, as wide as the screen."""
    taken, width = takes(verb), min(columns(), _MOST_COLUMNS)
    lines = [usage(verb, path), ""]
    for number, paragraph in enumerate(paragraphs(verb)):
        lines += [""] if number else []
        lines += wrap(paragraph, width - 2, initial_indent="  ", subsequent_indent="  ")
    if taken["arguments"]:
        lines += ["", *_rows(taken["arguments"], width)]
    if taken["own"]:
        lines += ["", "Options:", *_rows(taken["own"], width)]
    lines += ["", "As with other verbs:", *_rows([*taken["shared"], _HELP], width)]
    return "\n".join([*lines, *_end(verb.name or "", width)])


def paragraphs(verb: "TyperCommand") -> list[str]:
    """What a verb is for: the line of the table first."""
    return cleandoc(verb.help or "").split("\n\n")


def usage(verb: "TyperCommand", path: str) -> str:
    """How a verb is typed."""
    named = []
    for one in verb.params:
        if one.param_type_name == "argument":
            name = f"{_named(one)}..." if one.nargs == -1 else _named(one)
            named.append(name if one.required else f"[{name}]")
    return " ".join([path, *named, "[options]"])


def takes(verb: "TyperCommand") -> Takes:
    """What a verb takes: arguments, options of its own, and those that others take alike."""
    taken: dict[str, list[Row]] = {"arguments": [], "own": [], "shared": []}
    for one in verb.params:
        if getattr(one, "hidden", False):
            continue
        text = f"{getattr(one, 'help', '') or ''}{_bounds(one)}"
        if one.param_type_name == "argument":
            taken["arguments"].append((_named(one), text))
            continue
        names = ", ".join([*one.opts, *one.secondary_opts])
        is_flag = getattr(one, "is_flag", False)
        said = names if is_flag else f"{names} {_VALUES.get(one.type.name, '...')}"
        taken["shared" if one.name in _SHARED else "own"].append((said, text))
    return cast("Takes", taken)


def _named(argument: object) -> str:
    """What an argument is called: its own words, or its name."""
    return getattr(argument, "metavar", None) or f"{getattr(argument, 'name', '')}".upper()


def _bounds(one: object) -> str:
    """What holds where nothing is given, and between what a number has to be."""
    default = getattr(one, "default", None)
    kind = getattr(one, "type", None)
    low, high = getattr(kind, "min", None), getattr(kind, "max", None)
    said = [] if low is None or high is None else [f"{low} to {high}"]
    if default not in (None, False, [], ()) and isinstance(default, str | int):
        said.append(f"{default} where it is left out")
    return f" ({'; '.join(said)})" if said else ""


def _rows(rows: Sequence[Row], width: int) -> Iterator[str]:
    """Names and what they are for, in two columns."""
    names = min(max(len(name) for name, _ in rows), 24)
    for name, text in rows:
        lines = wrap(text, width - names - 4)
        if len(name) > names:
            yield f"  {name}"
        else:
            first, *lines = lines or [""]
            yield f"  {name:{names}}  {first}".rstrip()
        for line in lines:
            yield f"  {'':{names}}  {line}"


def _end(verb: str, width: int) -> Iterator[str]:
    """The lines below the options of a verb: examples, and what may be meant instead."""
    told = examples().get(verb)
    if told is None:
        return
    yield from ("", "Examples:")
    for line, what in told["examples"]:
        yield f"  stillroom {line}"
        yield from wrap(what, width, initial_indent="      ", subsequent_indent="      ")
    near = told.get("near", {})
    if near:
        yield from ("", "Or is another verb meant?", *_rows(list(near.items()), width))
