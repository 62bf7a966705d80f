"""What is drawn on a page of a record: text, lines, black bars and frames in their places."""

from collections.abc import Iterable
from typing import NamedTuple

from tracker.core.practice.label_sheets import Box
from tracker.outputs.paper.labels.label_lines import Style
from tracker.outputs.paper.line_breaks import BASELINE, LEADING, Set
from tracker.outputs.paper.pen import MM_PER_POINT, Pen


class Rule(NamedTuple):
    """A level line between two places, all in mm."""

    left: float
    right: float
    y: float
    thick: float
    grey: int = 0


class Black(NamedTuple):
    """A black bar and the words on it, in white."""

    box: Box
    words: tuple[Set, ...]


class Frame(NamedTuple):
    """A hairline around room that is left free."""

    box: Box


Ink = Set | Rule | Black | Frame


def drawn(pen: Pen, inks: Iterable[Ink]) -> None:
    """Put all of it on the page."""
    for one in inks:
        match one:
            case Rule():
                pen.rule(*one)
            case Frame():
                pen.outline(one.box, is_round=False)
            case Black():
                pen.black(one.box)
                for word in one.words:
                    _write(pen, word, white=True)
            case _:
                _write(pen, one)


def _write(pen: Pen, one: Set, *, white: bool = False) -> None:
    pen.write(one.x, one.baseline, one.text, one.style, one.size_pt, white=white)


def one_line(pen: Pen, x: float, baseline: float, text: str, style: Style, size_pt: float) -> Set:
    """A text of one line from its left end and baseline."""
    high = size_pt * MM_PER_POINT
    width = pen.width(text, style) * size_pt
    top = baseline - high * BASELINE
    return Set(x, baseline, text, style, size_pt, width, top, top + high * LEADING)


def through(one: Set) -> Rule:
    """A line through the middle of the small letters."""
    y = one.baseline - 0.27 * one.size_pt * MM_PER_POINT
    return Rule(one.x, one.x + one.width, y, 0.2)


def start(one: Ink) -> float:
    """Where it begins, from the top."""
    if isinstance(one, Rule):
        return one.y
    return one.box.y if isinstance(one, Black | Frame) else one.top


def bottom_of(one: Set | Black | Frame) -> float:
    """Where it ends, from the top."""
    return one.bottom if isinstance(one, Set) else one.box.y + one.box.height


def moved(one: Ink, down: float) -> Ink:
    """The same so much further down."""
    match one:
        case Rule():
            return one._replace(y=one.y + down)
        case Frame():
            return Frame(one.box._replace(y=one.box.y + down))
        case Black():
            words = tuple(_lower(word, down) for word in one.words)
            return Black(one.box._replace(y=one.box.y + down), words)
        case _:
            return _lower(one, down)


def _lower(one: Set, down: float) -> Set:
    return one._replace(baseline=one.baseline + down, top=one.top + down, bottom=one.bottom + down)
