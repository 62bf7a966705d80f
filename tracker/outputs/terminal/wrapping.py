"""Text in lines that fit a screen, parted between words."""

import re

from tracker.outputs.terminal.table import width

_LEAST = 16  # cells: a narrower column would part most words
_KEPT = "\u00a0"  # within the text while it is parted
_AMOUNT = re.compile(r"(?<=\d) (?=(?:ml|l|g|kg|months?|days?|weeks?)\b|%)|(?<=%) (?=vol\b)")


def together(text: str) -> str:
    """The text so that it is not parted, where it fits into one line."""
    return text.replace(" ", _KEPT)


def wrapped(text: str, cells: int) -> list[str]:
    """The text in lines of at most so many cells; a longer word is parted, an amount is not."""
    cells = max(cells, _LEAST)
    lines, line = [], ""
    for word in _AMOUNT.sub(_KEPT, text).split(" "):
        longer = f"{line} {word}" if line else word
        if width(longer) <= cells:
            line = longer
            continue
        if line:
            lines.append(line)
        *full, line = _parted(word, cells)
        lines += full
    return [one.replace(_KEPT, " ").rstrip() for one in (*lines, line)]


def _parted(word: str, cells: int) -> list[str]:
    parts = []
    while width(word) > cells:
        at = cells
        while width(word[:at]) > cells:
            at -= 1
        parts.append(word[:at])
        word = word[at:]
    return [*parts, word]
