"""What is kept together on a line, and where a word that is too long for it may be parted."""

import re
import unicodedata
from collections.abc import Callable
from functools import lru_cache
from typing import Final, NamedTuple

from tracker.outputs.paper.hyphens import hyphenated
from tracker.outputs.paper.labels.label_lines import Run, Style

# How wide a text is, in mm for each point of its size.
Width = Callable[[str, Style], float]

_MONTHS: Final = "Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec"
_UNITS: Final = (
    "% vol|%|ml|l|g|kg|fl oz|oz|lb|pints?|quarts?|gallons?|cups?|tsp|tbsp|drops?|mm|cm|°C|°F"
)
# A day and a number with its unit are one word each.
_KEPT: Final = (
    rf"(?:\d{{1,2}} )?(?:{_MONTHS}) \d{{4}}|\d{{1,2}} (?:{_MONTHS})(?![^\W\d_])"
    rf"|\d[\d.,/⅛¼⅓½⅔¾–-]* (?:{_UNITS})(?![^\W\d_])"
)
_WORD: Final = re.compile(rf"( *)((?:{_KEPT}|[^ ])+)")
# Longer than any code, day or amount: a number in so long a text is typed by a person.
_LONGEST_WHOLE: Final = 28
_JOINER: Final = "\u200d"
# Signs that begin no line, beside closing brackets.
_BEGIN_NO_LINE: Final = frozenset("、。，．：；！？・ー々")
# Floats of widths add up to a little more or less than the whole.
SLACK_MM: Final = 1e-6


class Word(NamedTuple):
    """What stands between two blanks, in one style or several; a blank before it starts it."""

    runs: tuple[Run, ...]

    @property
    def bare(self) -> "Word":
        """The same without the blank, as it begins a line."""
        first = self.runs[0]
        if not first.text.startswith(" "):
            return self
        return Word((first._replace(text=first.text.lstrip(" ")), *self.runs[1:]))

    @property
    def is_whole(self) -> bool:
        """Whether it is never parted: a code, a day, a ratio, a strength, any number."""
        text = "".join(run.text for run in self.runs)
        return len(text) <= _LONGEST_WHOLE and any(letter.isdigit() for letter in text)

    @property
    def is_wide(self) -> bool:
        """Whether it is of a script without blanks, broken between any two letters."""
        return any(_is_wide(letter) for run in self.runs for letter in run.text)

    def width(self, width: Width) -> float:
        """How wide it is, in mm for each point."""
        if len(self.runs) == 1:
            return width(self.runs[0].text, self.runs[0].style)
        return sum(width(run.text, run.style) for run in self.runs)


@lru_cache(maxsize=4096)
def words_of(runs: tuple[Run, ...]) -> tuple[Word, ...]:
    """Every word of a text; several blanks before one are one."""
    text = "".join(run.text for run in runs)
    words: list[Word] = []
    for found in _WORD.finditer(text):
        parts = _styled(runs, found.start(2), found.end(2))
        if found[1]:
            parts[0] = parts[0]._replace(text=f" {parts[0].text}")
        words.append(Word(tuple(parts)))
    return tuple(words)


def _styled(runs: tuple[Run, ...], start: int, end: int) -> list[Run]:
    """A stretch of a text as runs of its styles."""
    parts, at = [], 0
    for run in runs:
        text = run.text[max(start - at, 0) : max(end - at, 0)]
        if text:
            parts.append(Run(text, run.style))
        at += len(run.text)
    return parts


def by_hyphen(
    word: Word, widest: float, width: Width, language: str | None
) -> tuple[Word, Word] | None:
    """A word parted by a hyphen so that as much as possible fits, and its rest.

    Italics are Latin names, and of Latin there are no patterns.
    """
    if word.is_whole:
        return None
    for place in reversed(range(len(word.runs))):
        before, run, after = word.runs[:place], word.runs[place], word.runs[place + 1 :]
        gap = " " * run.text.startswith(" ")
        ways = hyphenated(run.text.lstrip(" "), None if run.style == "I" else language)
        for head, tail in ways:
            first = Word((*before, run._replace(text=gap + head)))
            if first.width(width) <= widest + SLACK_MM:
                return first, Word((run._replace(text=tail), *after))
    return None


def between_letters(word: Word, widest: float, width: Width) -> tuple[Word | None, Word | None]:
    """The most of a word that fits, and its rest; never between a letter and its marks."""
    heads: list[Run] = []
    for place, run in enumerate(word.runs):
        wide = width(run.text, run.style)
        if wide <= widest + SLACK_MM:
            heads.append(run)
            widest -= wide
            continue
        at = _where(run, widest, width, any_letter=not word.is_wide)
        if at:
            heads.append(run._replace(text=run.text[:at]))
        rest = Word((run._replace(text=run.text[at:]), *word.runs[place + 1 :]))
        head = Word(tuple(heads)) if any(run.text.strip(" ") for run in heads) else None
        return head, rest if head else word
    return word, None


def _where(run: Run, widest: float, width: Width, *, any_letter: bool) -> int:
    low, high = 0, len(run.text)
    while low < high:
        middle = (low + high + 1) // 2
        if width(run.text[:middle], run.style) <= widest + SLACK_MM:
            low = middle
        else:
            high = middle - 1
    most = low
    while 0 < low < len(run.text) and not _may_part(run.text, low, any_letter=any_letter):
        low -= 1
    return low or (0 if not any_letter else most if not _clings(run.text, most) else 0)


def _may_part(text: str, at: int, *, any_letter: bool) -> bool:
    before, behind = text[at - 1], text[at]
    if _clings(text, at) or unicodedata.category(before) in ("Ps", "Pi"):
        return False
    if unicodedata.category(behind) in ("Pe", "Pf") or behind in _BEGIN_NO_LINE:
        return False
    return any_letter or _is_wide(before) or _is_wide(behind)


def _clings(text: str, at: int) -> bool:
    """Whether what stands at a place belongs to the letter before it."""
    if not 0 < at < len(text):
        return False
    behind = text[at]
    return unicodedata.category(behind)[0] == "M" or _JOINER in (behind, text[at - 1])


def _is_wide(letter: str) -> bool:
    return unicodedata.east_asian_width(letter) in ("W", "F")
