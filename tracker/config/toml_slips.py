"""What is wrong with a file that is not TOML, in the words of the person who typed it."""

import re
from typing import NamedTuple

# How the whole line looks, and what is to be done about it; the first that fits is meant.
_SLIPS = (
    (re.compile(r".*[“”„‟‘’‚‛«»].*"), "write straight quotation marks, \" or '"),
    (
        re.compile(r"\s*\[\s*([\w-]+(?: +[\w-]+)+)\s*\]\s*(?:#.*)?"),
        'put a name of several words in quotes: ["{}"]',
    ),
    (re.compile(r"\s*\[[^\]=]*"), "close the bracket: ]"),
    (
        re.compile(r"\s*([\w-]+(?: +[\w-]+)+)\s*=.*"),
        'put a key of several words in quotes: "{}" = …',
    ),
    (re.compile(r"""\s*["']?([\w-]+(?: +[\w-]+)*)["']?\s*:.*"""), "put = after {} in place of :"),
    (re.compile(r".*\\.*"), "write / in place of \\, or put the value between two of '"),
    (
        re.compile(
            r"""\s*("?[A-Za-z0-9_ -]*[A-Za-z0-9_]"?)\s*="""
            r"""\s*([^\s"'\[{#](?:[^"'#]*[^"'#\s])?)\s*(?:#.*)?"""
        ),
        'put the value in quotes: {} = "{}"',
    ),
    (
        re.compile(r"""[^"]*"[^"]*(?:"[^"]*"[^"]*)*|[^']*'[^']*(?:'[^']*'[^']*)*"""),
        "close the quotation mark with the same sign",
    ),
    (
        re.compile(r"""[^=]*=\s*(?:"[^"]*"|'[^']*')\s*[^\s#].*"""),
        "put the whole value between the quotation marks, and nothing after them",
    ),
)
_MOST_SHOWN = 60
_LONGEST = 200  # nobody types a longer line with a slip of these in it


class Slip(NamedTuple):
    """The line where TOML ends, where that is known, and what to write there."""

    what: str
    line: int | None
    do: str


def slip(reason: str, text: str) -> Slip:
    """What tomllib says of a text, and what a person has to change in the line it names."""
    number = _line_of(reason, text)
    lines = text.split("\n")
    line = lines[number - 1].rstrip("\r") if number and number <= len(lines) else ""
    return Slip(_said(reason), number, _to_do(line, reason) if len(line) <= _LONGEST else "")


def _said(reason: str) -> str:
    if reason.startswith("Cannot declare"):
        return "a table of that name is there twice"
    if reason.startswith("Cannot overwrite"):
        return "that key is there twice"
    # It repeats a key or a number however long it is.
    return reason if len(reason) <= 160 else f"{reason[:100]} … {reason[-50:]}"


def _line_of(reason: str, text: str) -> int | None:
    """The line tomllib names; a number beyond all bounds it names none for."""
    if found := re.search(r"at line (\d+)", reason):
        return int(found[1])
    if "end of document" in reason:
        lines = text.split("\n")
        quotes = [number for number, line in enumerate(lines, 1) if line.count("'") % 2]
        return quotes[0] if quotes and '"\'"' in reason else len(lines)
    runs = (one for one in re.finditer(r"[0-9_]++", text) if one.end() - one.start() > 1000)
    found = next(runs, None)
    return None if found is None else text.count("\n", 0, found.start()) + 1


def _to_do(line: str, reason: str) -> str:
    """How the line is written; empty where nothing better is known than to look at it."""
    if reason.startswith("Cannot declare"):
        return "put the keys of both under one of them"
    if reason.startswith("Cannot overwrite"):
        return "keep one of them"
    for pattern, do in _SLIPS:
        if found := pattern.fullmatch(line):
            return do.format(*map(_short, found.groups()))
    return ""


def _short(words: str) -> str:
    return words if len(words) <= _MOST_SHOWN else f"{words[:_MOST_SHOWN]}…"
