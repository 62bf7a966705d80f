"""Text in lines that fit a screen, parted between words."""

import re
from collections.abc import Iterator, Sequence

from tracker.core.values.month_names import MONTHS
from tracker.outputs.terminal.table import width

_LEAST = 12  # cells: a narrower column would part most words
_KEPT = "\u00a0"  # within the text while it is parted
_DRESS, _UNDRESSED = re.compile("\x1b\\[[0-9;]*m"), "\x1b[0m"
# What is copied out of a message: a command in marks, or one that ends a sentence.
_COMMAND = re.compile(r"`[^`]+`|(?<=: )stillroom [^`]+$")
_IS_A_COMMAND = re.compile(r" *stillroom [^A-Z]")
_LABEL = re.compile(r" *\S.*?  +(?=\S)")  # what stands at the left of a row
_UNITS = frozenset(("ml", "l", "g", "kg", "day", "days", "week", "weeks", "month", "months"))


def together(text: str) -> str:
    """The text so that it is not parted, where it fits into one line."""
    return text.replace(" ", _KEPT)


def wrapped(text: str, cells: int, *, parts_words: bool = True) -> list[str]:
    """The text in lines of at most so many cells; a longer word is parted, an amount is not.

    Args:
        text: safe to print.
        cells: across a line.
        parts_words: whether a word longer than a line is parted, too: a path to be copied is not.
    """
    cells = max(cells, _LEAST)
    lines, line = [], ""
    for word in _unparted(text):
        longer = f"{line} {word}" if line else word
        if width(longer) <= cells:
            line = longer
            continue
        if line:
            lines.append(line)
        *full, line = _parted(word, cells) if parts_words else [word]
        lines += full
    return [one.replace(_KEPT, " ").rstrip() for one in (*lines, line)]


def hanging(head: str, text: str, total: int, *, parts_words: bool = True) -> list[str]:
    """The text behind a head, and what does not fit below it, in lines no wider than the screen."""
    indent = width(head)
    first, *rest = wrapped(text, total - indent, parts_words=parts_words)
    return [head + first, *(" " * indent + one for one in rest)]


def _unparted(text: str) -> list[str]:
    """The words; a number and its unit or month (`500 ml`, `45 % vol`, `13 May`) are one."""
    found, *words = text.split(" ")
    whole = [found]
    for word in words:
        if whole[-1] and _goes_with(whole[-1], word):
            whole[-1] += _KEPT + word
        else:
            whole.append(word)
    return whole


def _goes_with(before: str, word: str) -> bool:
    unit = word.rstrip(",.;:)")
    if before[-1].isdecimal():
        return unit in _UNITS or unit in MONTHS or word.startswith("%")
    return before.endswith("%") and unit == "vol"


def _parted(word: str, cells: int) -> list[str]:
    parts = []
    while width(word) > cells:
        at = cells
        while width(word[:at]) > cells:
            at -= 1
        parts.append(word[:at])
        word = word[at:]
    return [*parts, word]


def hung(line: str, cells: int) -> list[str]:
    """A line of a message as several where the screen is narrower, parted between words.

    What goes on stands under the text of a row with a label at its left, else two cells in.
    A command stays in one line where it fits; a longer word or command is parted by nobody.
    """
    if _seen(line) <= cells or _IS_A_COMMAND.match(line):
        return [line]
    left, indent = _left_of(line, cells)

    def whole(found: re.Match[str]) -> str:
        return together(found[0]) if _seen(found[0]) <= cells - indent else found[0]

    lines: list[str] = []
    now = left
    for word in _unparted(_COMMAND.sub(whole, line[len(left) :])):
        longer = f"{now} {word}" if now[len(left) :] or lines else f"{now}{word}"
        if _seen(longer) <= cells or not _DRESS.sub("", now).strip():
            now = longer
            continue
        lines.append(now.rstrip())
        now = f"{' ' * indent}{word}"
    return list(_dressed_apart([*lines, now], indent))


def _left_of(line: str, cells: int) -> tuple[str, int]:
    """What stands at the left of the text, and how far in the text goes on."""
    label = _LABEL.match(line)
    if label is not None and _seen(label[0]) <= min(cells // 2, cells - _LEAST):
        return label[0], _seen(label[0])
    blank = line[: len(line) - len(line.lstrip(" "))]
    return blank, len(blank) + 2


def _dressed_apart(lines: Sequence[str], indent: int) -> Iterator[str]:
    """Lines of which each ends the style it is in, and begins it behind its blanks."""
    dress = ""
    for place, line in enumerate(lines):
        text = line.replace(_KEPT, " ")
        said = f"{text[:indent]}{dress}{text[indent:]}" if place and dress else text
        for found in _DRESS.findall(line):
            dress = "" if found == _UNDRESSED else found
        yield said + (_UNDRESSED if dress else "")


def _seen(text: str) -> int:
    return width(_DRESS.sub("", text))
