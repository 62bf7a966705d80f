"""Lines broken to the room there is: between words, by hyphens where they save a line."""

from collections.abc import Callable, Sequence
from typing import Final, NamedTuple

from tracker.outputs.paper.labels.label_lines import Run, Style
from tracker.outputs.paper.typefaces import reads_right_to_left
from tracker.outputs.paper.word_breaks import (
    SLACK_MM,
    Width,
    Word,
    between_letters,
    by_hyphen,
    words_of,
)

# The left and right end, in mm, of what is free between two heights.
Room = Callable[[float, float], tuple[float, float]]

# A line's height and the depth of its baseline, in parts of the size of its type.
LEADING: Final = 1.28
BASELINE: Final = 0.98
# A last line of one word is an orphan where it is shorter than this part of the longest line.
# The block is set narrower, to no less than the last of these parts of its room, to avoid it.
_ORPHAN: Final = 0.34
_NARROWER: Final = (0.95, 0.9, 0.85, 0.8, 0.75, 0.7)


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


class _Line(NamedTuple):
    """The words of a line, and how much room it had, in mm for each point."""

    words: list[Word]
    widest: float


class _Ways(NamedTuple):
    """How words may be parted: by hyphens to save a line; anywhere, where one is too long."""

    hyphens: bool
    between_letters: bool


class _Block(NamedTuple):
    """A text to be set from `top` downwards in lines of one height."""

    words: tuple[Word, ...]
    size_pt: float
    top: float
    height: float
    room: Room
    width: Width
    language: str | None

    def best(self) -> list[_Line] | None:
        """With hyphens only where they save a line, and no orphan where it can be avoided."""
        hyphens = False
        lines = self.lines(hyphens=hyphens)
        if lines is None or len(lines) <= 1:
            return lines
        if self.language is not None and self._may_be_shorter(lines):
            fewer = self.lines(hyphens=True)
            if fewer is not None and len(fewer) < len(lines):
                lines, hyphens = fewer, True
        if not self._has_orphan(lines):
            return lines
        tries = (self.lines(hyphens=hyphens, narrower=part) for part in _NARROWER)
        good = (
            one
            for one in tries
            if one is not None and len(one) == len(lines) and not self._has_orphan(one)
        )
        return next(good, lines)

    def lines(self, *, hyphens: bool, narrower: float = 1.0) -> list[_Line] | None:
        """The words line by line; None where there is no room for one."""
        rest, top = list(self.words), self.top
        ways = _Ways(hyphens, between_letters=narrower == 1.0)
        lines: list[_Line] = []
        while rest:
            left, right = self.room(top, top + self.height)
            widest = (right - left) / self.size_pt * narrower
            line, rest = self._fill(rest, widest, ways)
            if not line:
                return None
            lines.append(_Line(line, widest))
            top += self.height
        return lines

    def _fill(self, words: list[Word], widest: float, ways: _Ways) -> tuple[list[Word], list[Word]]:
        """As many words as fit one line, and the rest."""
        line: list[Word] = []
        used = 0.0
        for place, one in enumerate(words):
            word = one if line else one.bare
            wide = word.width(self.width)
            if used + wide <= widest + SLACK_MM:
                line.append(word)
                used += wide
                continue
            head, tail = self._parted(word, widest - used, ways, is_first=not line)
            if head is not None:
                line.append(head)
            return line, [*([tail] if tail else []), *words[place + 1 :]]
        return line, []

    def _parted(
        self, word: Word, widest: float, ways: _Ways, *, is_first: bool
    ) -> tuple[Word | None, Word | None]:
        """What of a word goes on a line that it does not fit, and what goes on the next."""
        if word.is_whole:
            return None, word
        if word.is_wide:
            head, tail = between_letters(word, widest, self.width)
            if head is not None or not is_first:
                return head, tail
        if ways.hyphens or is_first:
            parted = by_hyphen(word, widest, self.width, self.language)
            if parted is not None:
                return parted
        if is_first and ways.between_letters:
            return between_letters(word, widest, self.width)
        return None, word

    def _may_be_shorter(self, lines: Sequence[_Line]) -> bool:
        """Whether all the words would fit in one line less if they could be parted anywhere."""
        return sum(word.width(self.width) for word in self.words) < sum(
            line.widest for line in lines[:-1]
        )

    def _has_orphan(self, lines: Sequence[_Line]) -> bool:
        last = lines[-1].words
        if len(last) > 1:
            return False
        longest = max(sum(word.width(self.width) for word in line.words) for line in lines)
        return last[0].width(self.width) < _ORPHAN * longest


def set_lines(
    runs: tuple[Run, ...],
    *,
    size_pt: float,
    top: float,
    room: Room,
    width: Width,
    mm_per_pt: float,
    centred: bool = False,
    language: str | None = None,
) -> tuple[list[Set], float] | None:
    """A text of several styles set from `top` downwards, and where it ends.

    Args:
        runs: the text.
        size_pt: the size of its type.
        top: where it begins, in mm.
        room: what is free at a height.
        width: how wide a text is.
        mm_per_pt: mm for each point.
        centred: whether lines stand in the middle.
        language: of the patterns by which words are hyphenated; None: not at all.

    Returns:
        None where there is no room for a word that is never parted, or for as much as a letter.
    """
    height = size_pt * LEADING * mm_per_pt
    lines = _Block(words_of(runs), size_pt, top, height, room, width, language).best()
    if lines is None:
        return None
    backwards = reads_right_to_left("".join(run.text for run in runs))
    placed: list[Set] = []
    for line in lines:
        parts = _joined(line.words)
        if backwards:
            parts = [_turned(*part) for part in reversed(parts)]
        left, right = room(top, top + height)
        widths = [width(*part) * size_pt for part in parts]
        spare = max(right - left - sum(widths), 0.0)
        x = left + (spare / 2 if centred else spare if backwards else 0.0)
        baseline = top + size_pt * BASELINE * mm_per_pt
        for part, wide in zip(parts, widths, strict=True):
            placed.append(Set(x, baseline, *part, size_pt, wide, top, top + height))
            x += wide
        top += height
    return placed, top


def _joined(line: Sequence[Word]) -> list[tuple[str, Style]]:
    """The words of a line, those of one style together."""
    parts: list[tuple[str, Style]] = []
    for word in line:
        for run in word.runs:
            if parts and parts[-1][1] == run.style:
                parts[-1] = (parts[-1][0] + run.text, run.style)
            else:
                parts.append((run.text, run.style))
    return parts


def _turned(text: str, style: Style) -> tuple[str, Style]:
    """A part of a line from right to left: the blank before it lies on its right."""
    if text.startswith(" ") and not reads_right_to_left(text):
        return f"{text[1:]} ", style
    return text, style
