"""Lines broken to the room there is: words where possible, letters where a word is too long."""

import re
import unicodedata
from collections.abc import Callable, Iterator
from functools import lru_cache
from typing import Final, NamedTuple

from tracker.outputs.paper.labels.label_text import Run, Style
from tracker.outputs.paper.typefaces import reads_right_to_left

# How wide a text is, in mm for each point of its size.
Width = Callable[[str, Style], float]
# The left and right end, in mm, of what is free between two heights.
Room = Callable[[float, float], tuple[float, float]]

# A line's height and the depth of its baseline, in parts of the size of its type.
LEADING: Final = 1.28
BASELINE: Final = 0.98
# A word and the blanks before it; a day and a strength are one word each.
_WORD: Final = re.compile(
    r"( *)((?:(?:\d{1,2} )?[A-Z][a-z]{2} \d{4}|[\d.]+ % vol|[\d.]+ ml)[^ ]*|[^ ]+)"
)
# Floats of widths add up to a little more or less than the whole.
_SLACK_MM: Final = 1e-6


class Set(NamedTuple):
    """A text of one style in its place: left end and baseline, and the box of its line, mm."""

    x: float
    baseline: float
    text: str
    style: Style
    size_pt: float
    width: float
    top: float
    bottom: float


def set_lines(
    runs: tuple[Run, ...],
    *,
    size_pt: float,
    top: float,
    room: Room,
    width: Width,
    mm_per_pt: float,
    centred: bool = False,
) -> tuple[list[Set], float] | None:
    """A text of several styles set from `top` downwards, and where it ends.

    Returns None where there is no room for as much as a letter.
    """
    height = size_pt * LEADING * mm_per_pt
    backwards = reads_right_to_left("".join(run.text for run in runs))
    words = list(_words(runs))
    placed: list[Set] = []
    while words:
        left, right = room(top, top + height)
        line, words = _fill(words, (right - left) / size_pt, width)
        if not line:
            return None
        parts = list(_joined(line))
        if backwards:
            parts = [_turned(*part) for part in reversed(parts)]
        total = sum(width(*part) for part in parts) * size_pt
        spare = max(right - left - total, 0.0)
        x = left + (spare / 2 if centred else spare if backwards else 0.0)
        baseline = top + size_pt * BASELINE * mm_per_pt
        for part in parts:
            wide = width(*part) * size_pt
            placed.append(Set(x, baseline, *part, size_pt, wide, top, top + height))
            x += wide
        top += height
    return placed, top


def bare_width(runs: tuple[Run, ...], width: Width) -> float:
    """How wide all the words are, without the blanks between them, in mm for each point."""
    return sum(width(word.text.lstrip(" "), word.style) for word in _words(runs))


@lru_cache(maxsize=4096)
def _words(runs: tuple[Run, ...]) -> tuple[Run, ...]:
    """Every word with its style; a blank before a word is kept at its start."""
    words: list[Run] = []
    gap = False  # a blank at the end of a run stands before the first word of the next
    for run in runs:
        for found in _WORD.finditer(run.text):
            words.append(Run((" " if found[1] or gap else "") + found[2], run.style))
            gap = False
        gap = run.text.endswith(" ") or (gap and not run.text)
    return tuple(words)


def _fill(words: list[Run], widest: float, width: Width) -> tuple[list[Run], list[Run]]:
    """As many words as fit one line, and the rest; a word wider than a line is broken."""
    line: list[Run] = []
    used = 0.0
    for place, word in enumerate(words):
        bare = word if line else word._replace(text=word.text.lstrip(" "))
        wide = width(bare.text, bare.style)
        if used + wide <= widest + _SLACK_MM:
            line.append(bare)
            used += wide
            continue
        if line and not _breaks_anywhere(bare.text):
            return line, words[place:]
        head, tail = _broken(bare, widest - used, width)
        if head.text.strip(" "):
            line.append(head)
        rest = [tail] if tail.text else []
        return line, rest + words[place + 1 :]
    return line, []


def _breaks_anywhere(text: str) -> bool:
    """Whether a script without blanks between words may be broken between any two letters."""
    return any(unicodedata.east_asian_width(letter) in ("W", "F") for letter in text)


def _broken(word: Run, widest: float, width: Width) -> tuple[Run, Run]:
    """The most of a word that fits, and its rest; never between a letter and its marks."""
    low, high = 0, len(word.text)
    while low < high:
        middle = (low + high + 1) // 2
        if width(word.text[:middle], word.style) <= widest + _SLACK_MM:
            low = middle
        else:
            high = middle - 1
    while 0 < low < len(word.text) and unicodedata.category(word.text[low])[0] == "M":
        low -= 1
    return word._replace(text=word.text[:low]), word._replace(text=word.text[low:])


def _joined(line: list[Run]) -> Iterator[tuple[str, Style]]:
    """The words of a line, those of one style together."""
    text, style = "", line[0].style
    for word in line:
        if word.style != style:
            yield text, style
            text, style = "", word.style
        text += word.text
    yield text, style


def _turned(text: str, style: Style) -> tuple[str, Style]:
    """A part of a line from right to left: the blank before it lies on its right."""
    if text.startswith(" ") and not reads_right_to_left(text):
        return f"{text[1:]} ", style
    return text, style
