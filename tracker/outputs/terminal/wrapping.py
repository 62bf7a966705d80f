"""Text in lines that fit a screen, parted between words."""

from tracker.outputs.terminal.table import width

_LEAST = 12  # cells: a narrower column would part most words
_KEPT = "\u00a0"  # within the text while it is parted
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
    """The words; a number and its unit (`500 ml`, `45 % vol`) are one."""
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
        return unit in _UNITS or word.startswith("%")
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
