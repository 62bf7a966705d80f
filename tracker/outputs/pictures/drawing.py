"""A drawing in the making: text, lines and boxes as SVG, set for a width in pixels.

The picture is built for the width it is shown at, so its text is never smaller than it was set.
Colours are names of one style sheet inside it, in light, in dark and on paper. Text stays text, in
the fonts the reader has; so a width is reckoned here with some room to spare.
"""

import re
from collections.abc import Sequence
from xml.etree import ElementTree

from tracker.outputs.pictures.svg import SVG, plain
from tracker.outputs.words.latin_names import latin_runs

NARROW, WIDE = 360, 720  # px: a phone held upright, and a page
MARGIN = 12
LINE = 18  # px from one line of text to the next
SMALL, NAME, TITLE = 13.0, 15.0, 18.0  # px of the sizes there are

# What a letter takes of its size: a choice on the wide side, by fonts at hand.
_NARROW_MARKS, _NARROW_EM = frozenset("iIjlft.,:;'|()/ ·-!"), 0.36
_WIDE_MARKS, _WIDE_EM = frozenset("mwMWOQG%@—"), 0.9
# Between a number and what it is of no line ends: `184 ml`, `13 Jan`.
_AMOUNT, _KEPT = re.compile(r"(?<=\d) (?=(?:ml|g|l|%|[A-Z][a-z][a-z])\b)"), "\u00a0"
_EM, _CAPITAL_EM, _OTHER_EM = 0.58, 0.72, 1.0


def text_width(text: str, size: float = SMALL) -> float:
    """About how many px a text takes, rather more than less."""
    return sum(map(_em, text)) * size


def _em(mark: str) -> float:
    if mark in _NARROW_MARKS:
        return _NARROW_EM
    if mark in _WIDE_MARKS:
        return _WIDE_EM
    if mark >= "\u0250":
        return _OTHER_EM
    return _CAPITAL_EM if mark.isupper() else _EM


def lines_within(text: str, px: float, size: float = SMALL) -> list[str]:
    """The whole text in lines of at most so many px, parted between words where that will do."""
    lines: list[str] = []
    for word in _AMOUNT.sub(_KEPT, text).split(" "):
        joined = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(joined, size) <= px:
            lines[-1] = joined
        else:
            lines += _pieces(word, px, size)
    return [line.replace(_KEPT, " ") for line in lines]


def _pieces(word: str, px: float, size: float) -> list[str]:
    """A word, or where it alone is too long, as much of it as each line holds."""
    pieces = [""]
    for mark in word:
        if pieces[-1] and text_width(pieces[-1] + mark, size) > px:
            pieces.append("")
        pieces[-1] += mark
    return pieces


class Drawing:
    """What is drawn so far, and how far down it reaches.

    Attributes:
        width: of the whole drawing, px.
        y: where what comes next may begin, px from the top.
    """

    def __init__(self, width: int) -> None:
        self.width = width
        self.y = float(MARGIN)
        self.root = ElementTree.Element(f"{{{SVG}}}g")

    @property
    def right(self) -> float:
        """The right edge of what is drawn."""
        return float(self.width - MARGIN)

    @property
    def is_wide(self) -> bool:
        """Whether there is room for two things side by side."""
        return self.width > NARROW

    def text(self, x: float, y: float, text: str, kind: str = "", end: str = "") -> None:
        """One line of text from here on; `end`: it ends here (`end`) or is about it (`middle`)."""
        one = self._add("text", kind, x=x, y=y)
        if end:
            one.set("text-anchor", end)
        one.text = plain(text)

    def latin(
        self, x: float, y: float, name: str, rest: str = "", kind: str = "", end: str = ""
    ) -> None:
        """A Latin name in italics, with what follows it upright."""
        one = self._add("text", kind, x=x, y=y)
        if end:
            one.set("text-anchor", end)
        for run, is_italic in (*latin_runs(plain(name)), (plain(rest), False)):
            if run:
                span = ElementTree.SubElement(one, f"{{{SVG}}}tspan")
                span.text = run
                if is_italic:
                    span.set("class", "latin")

    def words(
        self, text: str, kind: str = "", *, left: float = MARGIN, right: float | None = None
    ) -> None:
        """A text in as many lines as it takes, below what is there."""
        size = {"title": TITLE, "name": NAME}.get(kind, SMALL)
        room = (self.right if right is None else right) - left
        for line in lines_within(plain(text), room, size):
            self.y += LINE if size < TITLE else 24
            self.text(left, self.y, line, kind)

    def row(
        self, x: float, right: float, y: float, text: str, kind: str = "", *, gap: float = LINE
    ) -> float:
        """A text between two edges with its first line here; gives where its last line stands."""
        lines = lines_within(plain(text), right - x)
        for number, line in enumerate(lines):
            self.text(x, y + gap * number, line, kind)
        return y + gap * (len(lines) - 1)

    def line(self, x1: float, y1: float, x2: float, y2: float, kind: str = "") -> None:
        """A straight line."""
        self.path(f"M{_px(x1)} {_px(y1)}L{_px(x2)} {_px(y2)}", kind)

    def path(self, steps: str, kind: str = "") -> None:
        """A path as SVG writes it."""
        self._add("path", kind).set("d", steps)

    def steps(self, corners: Sequence[tuple[float, float]], kind: str, *, floor: float) -> None:
        """A level that holds until the next corner, filled down to the floor."""
        if not corners:
            return
        (x, y), *rest = corners
        drawn = [f"M{_px(x)} {_px(floor)}V{_px(y)}"]
        drawn += [f"H{_px(x)}V{_px(y)}" for x, y in rest]
        self.path("".join(drawn) + f"V{_px(floor)}Z", kind)

    def box(self, x: float, y: float, wide: float, high: float, kind: str = "") -> None:
        """A box by its upper left corner."""
        self._add("rect", kind, x=x, y=y, width=max(wide, 0), height=max(high, 0))

    def mark(self, x: float, y: float, kind: str) -> None:
        """A mark of 10 px around a point: each kind has a shape of its own, not a colour alone."""
        self.path(_SHAPES[kind].format(x=_px(x - 5), y=_px(y - 5)), f"mark {kind}")

    def _add(self, tag: str, kind: str, **places: float) -> ElementTree.Element:
        one = ElementTree.SubElement(self.root, f"{{{SVG}}}{tag}")
        for name, place in places.items():
            one.set(name, _px(place))
        if kind:
            one.set("class", kind)
        return one


def _px(place: float) -> str:
    return f"{place:.1f}".removesuffix(".0")


# Each within a box of 10 × 10 px whose corner comes first.
_SHAPES = {
    "ready": "M{x} {y}m0 9.5l5-9l5 9Z",  # points up: may be taken
    "longest": "M{x} {y}m5 0l5 5l-5 5l-5-5Z",  # a diamond
    "expires": "M{x} {y}m0.5 0.5h9v9h-9Z",  # a square
    "held": "M{x} {y}m0.5 0.5l9 9m0-9l-9 9",  # crossed out
    "ring": "M{x} {y}m0 5a5 5 0 1 0 10 0a5 5 0 1 0-10 0Z",
    "heed": "M{x} {y}m5 0v6.5m0 2v1.5",  # an exclamation mark
}
