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
# Between a line and what is said beside it, in parts of the size of its type; what is behind that
# stands twice as far off.
_BESIDE_GAP: Final = 0.5
# How much closer the lines of a short label stand, in parts of the size of their type.
_TIGHTER: Final = 0.2
_DOT: Final = " ·"
SLACK_MM: Final = 1e-6


_Part = tuple[tuple[Run, ...], float]


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
        if one.beside:
            return self._with_beside(one, size_pt, top, room)
        if one.role in ("grave", "care"):
            return self._sentences(one.runs, size_pt, top, room)
        return self.set(one.runs, size_pt, top, room)

    def _sentences(
        self, runs: tuple[Run, ...], size_pt: float, top: float, room: Room
    ) -> Lines | None:
        """Cautions, one to a run: one that has a line of its own is not broken to fill another."""
        made = self.set(runs, size_pt, top, room)
        if made is None or made.high == 1 or len(runs) == 1:
            return made
        texts: list[Set] = []
        begun = self.set(runs[:1], size_pt, top, room)
        first = 0
        for end in range(1, len(runs)):
            assert begun is not None
            longer = self.set(_from(first, end + 1, runs), size_pt, top, room)
            alone = self.set(_from(end, end + 1, runs), size_pt, begun.end, room)
            if longer is None or alone is None:
                return made
            if longer.high > begun.high and alone.high == 1:
                texts += begun.texts
                first, top, longer = end, begun.end, alone
            begun = longer
        assert begun is not None
        parted = Lines((*texts, *begun.texts), begun.end)
        return parted if parted.high <= made.high else made

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

    def _with_beside(self, one: LabelLine, size_pt: float, top: float, room: Room) -> Lines | None:
        """What is said small on the same line, and what is behind it; else below it."""
        large, small, behind = one.parts
        parts = [(large, size_pt), (small, self.type.pt("beside")), (behind, size_pt)]
        parts = [part for part in parts if part[0]]
        together = len(parts)
        texts: list[Set] = []
        while parts:
            made = self._on_one_line(parts[:together], top, room)
            if made is None and together > 1:
                together -= 1
                continue
            made = made or self.set(*parts[0], top, room)
            if made is None:
                return None
            texts += made.texts
            top, parts, together = made.end, parts[together:], len(parts) - together
        return Lines(tuple(texts), top)

    def _on_one_line(self, parts: Sequence[_Part], top: float, room: Room) -> Lines | None:
        """Words of several sizes side by side; None where they have no room so."""
        first = self.set(*parts[0], top, room)
        if first is None or first.high > 1:
            return None
        on = first.texts[0]
        wide = [sum(self.width(*run[:2]) for run in runs) * size for runs, size in parts]
        gap = _BESIDE_GAP * on.size_pt * MM_PER_POINT
        gaps = [0.0, gap, 2 * gap][: len(parts)]
        left, right = room(on.top, on.bottom)
        spare = right - left - sum(wide) - sum(gaps)
        if spare < -SLACK_MM:
            return None
        x = left + (max(spare, 0.0) / 2 if self.centred else 0.0)
        texts: list[Set] = []
        for (runs, size), its_width, its_gap in zip(parts, wide, gaps, strict=True):
            texts += _at(x + its_gap, on, runs, size, self.width)
            x += its_gap + its_width
        return Lines(tuple(texts), first.end)


def _from(first: int, end: int, runs: tuple[Run, ...]) -> tuple[Run, ...]:
    """Some of the runs, as they begin a line."""
    some = runs[first:end]
    return (some[0]._replace(text=some[0].text.lstrip(" ")), *some[1:])


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
