"""Lines of a label set one below the other, each at the size of its role."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import zip_longest
from typing import Final, NamedTuple

from tracker.outputs.paper.labels.label_lines import NAMES, LabelLine, Run
from tracker.outputs.paper.labels.type_sizes import LEAST_PT, Type
from tracker.outputs.paper.line_breaks import Room, Set, set_lines
from tracker.outputs.paper.word_breaks import Width

MM_PER_POINT: Final = 25.4 / 72
# A name is set smaller before it takes a second line, and again before it takes a third.
_NAME_SHRINKS: Final = (1.0, 0.87, 0.76, 0.66)
_CODE_SHRINKS: Final = (1.0, 0.9, 0.8, 0.7, 0.6)
_DAY_SHRINKS: Final = (1.0, 0.92, 0.84)
_BAR_SHRINKS: Final = (1.0, 0.9, 0.8, 0.72)
# Between a line and what is said beside it, in parts of the size of its type.
_BESIDE_GAP: Final = 0.5
# How much closer the lines of a short label stand, in parts of the size of their type.
_TIGHTER: Final = 0.2
_DOT: Final = " ·"
SLACK_MM: Final = 1e-6


class Lines(NamedTuple):
    """Texts in their places, and where they end."""

    texts: tuple[Set, ...]
    end: float

    def moved(self, down: float) -> "Lines":
        """The same so many mm lower."""
        moved = (
            one._replace(baseline=one.baseline + down, top=one.top + down, bottom=one.bottom + down)
            for one in self.texts
        )
        return Lines(tuple(moved), self.end + down)

    def closed_up(self, by: float) -> "Lines":
        """The same with less between the lines, in parts of the size of the type."""
        tops = {top: place for place, top in enumerate(sorted({one.top for one in self.texts}))}
        texts = []
        less = 0.0
        for one in self.texts:
            less = by * one.size_pt * MM_PER_POINT
            up = tops[one.top] * less
            texts.append(
                one._replace(
                    baseline=one.baseline - up - less / 2,
                    top=one.top - up,
                    bottom=one.bottom - up - less,
                )
            )
        return Lines(tuple(texts), self.end - len(tops) * less)

    @property
    def high(self) -> int:
        """How many lines of paper they take."""
        return len({one.top for one in self.texts})


class Setter(NamedTuple):
    """What lines are set by: the widths of letters, the type, the language of hyphens."""

    width: Width
    type: Type
    language: str | None = None
    centred: bool = False

    def flow(self, lines: Iterable[LabelLine], top: float, room: Room) -> Lines | None:
        """Lines from `top` downwards; None where one of them has no room."""
        texts: list[Set] = []
        for one in lines:
            if not one.text:
                continue
            start = top + (self.type.before_mm(one.role) if texts else 0.0)
            made = self.line(one, start, room)
            if made is None:
                return None
            texts += made.texts
            top = made.end
        return Lines(tuple(texts), top)

    def line(self, one: LabelLine, top: float, room: Room) -> Lines | None:
        """One line at its size: a name smaller where it is long, a code never broken."""
        size_pt = self.type.pt(one.role)
        if one.role in NAMES:
            return self._name(one, size_pt, top, room)
        if one.role == "code":
            every = (self.set(one.runs, size, top, room) for size in _sizes(size_pt, _CODE_SHRINKS))
            return next((made for made in every if made is not None and made.high == 1), None)
        if one.role == "good":
            every = (self.set(one.runs, size, top, room) for size in _sizes(size_pt, _DAY_SHRINKS))
            whole = next((made for made in every if made is not None and made.high == 1), None)
            if whole is not None:
                return whole
        made = self.set(one.runs, size_pt, top, room)
        return self._with_beside(one, made, room) if made is not None and one.beside else made

    def in_bar(self, one: LabelLine, top: float, room: Room) -> Lines | None:
        """White on black: in one line, else in two; never smaller than a caution."""
        least = self.type.pt("grave")
        sizes = [size for size in _sizes(self.type.pt("bar"), _BAR_SHRINKS) if size > least]
        every = [self.set(one.runs, size, top, room) for size in (*sizes, least)]
        for most in (1, 2, 9):
            for made in every:
                if made is not None and made.high <= most:
                    return made
        return None

    def set(self, runs: tuple[Run, ...], size_pt: float, top: float, room: Room) -> Lines | None:
        """Words at one size."""
        made = set_lines(
            runs,
            size_pt=size_pt,
            top=top,
            room=room,
            width=self.width,
            mm_per_pt=MM_PER_POINT,
            centred=self.centred,
            language=self.language,
        )
        if made is None:
            return None
        lines = Lines(tuple(self._without_dots(made[0])), made[1])
        return lines.closed_up(_TIGHTER) if self.type.kind == "short" else lines

    def _without_dots(self, texts: Sequence[Set]) -> Iterator[Set]:
        """The texts; a dot between two things is not said at the end of a line."""
        for one, after in zip_longest(texts, texts[1:]):
            if after is None or after.top == one.top or not one.text.endswith(_DOT):
                yield one
                continue
            text = one.text.removesuffix(_DOT)
            less = one.width - self.width(text, one.style) * one.size_pt
            x = one.x + less / 2 if self.centred else one.x
            yield one._replace(text=text, x=x, width=one.width - less)

    def _name(self, one: LabelLine, size_pt: float, top: float, room: Room) -> Lines | None:
        """In one line, at a smaller size if need be; else in two; else as it comes."""
        made = None
        for most in (1, 2, 99):
            for size in _sizes(size_pt, _NAME_SHRINKS[most > 1 :]):
                made = self.set(one.runs, size, top, room)
                if made is None or made.high > most:
                    continue
                if most == 99 or not self._is_broken(one, made, room):
                    return made
        return made

    def _is_broken(self, one: LabelLine, made: Lines, room: Room) -> bool:
        """Whether a word is too wide for a line of its own."""
        first = made.texts[0]
        left, right = room(first.top, first.bottom)
        words = ((word, run.style) for run in one.runs for word in run.text.split(" ") if word)
        return any(self.width(*word) * first.size_pt > right - left + SLACK_MM for word in words)

    def _with_beside(self, one: LabelLine, made: Lines, room: Room) -> Lines | None:
        """What is said small: on the same line if there is room, else below."""
        small_pt = self.type.pt("beside")
        first, last = made.texts[0], made.texts[-1]
        gap = _BESIDE_GAP * last.size_pt * MM_PER_POINT
        wide = sum(self.width(run.text, run.style) for run in one.beside) * small_pt
        _, right = room(last.top, last.bottom)
        is_on_it = made.high == 1 and last.x + last.width + gap + wide <= right + SLACK_MM
        if not is_on_it or self.centred:
            below = self.set(one.beside, small_pt, made.end, room)
            return None if below is None else Lines((*made.texts, *below.texts), below.end)
        x = last.x + last.width + gap
        return Lines((*made.texts, *_at(x, first, one.beside, small_pt, self.width)), made.end)


def _sizes(size_pt: float, shrinks: Sequence[float]) -> Iterator[float]:
    """Sizes to try, none of them under the least."""
    seen: set[float] = set()
    for shrink in shrinks:
        size = max(size_pt * shrink, LEAST_PT)
        if size not in seen:
            seen.add(size)
            yield size


def _at(x: float, on: Set, runs: tuple[Run, ...], size_pt: float, width: Width) -> Iterator[Set]:
    """Words on the baseline of others."""
    for run in runs:
        wide = width(run.text, run.style) * size_pt
        yield Set(x, on.baseline, run.text, run.style, size_pt, wide, on.top, on.bottom)
        x += wide
