"""What the shapes of a picture mean, each drawn beside its words."""

from collections.abc import Callable, Sequence

from tracker.outputs.pictures.drawing import LINE, MARGIN, Drawing, text_width

# Draws a shape of at most 16 × 10 px from its upper left corner.
Shape = Callable[[float, float], None]
_BESIDE, _APART = 22, 16


def draw_legend(drawing: Drawing, entries: Sequence[tuple[Shape, str]]) -> None:
    """The shapes side by side, in as many rows as they take."""
    drawing.y += LINE + 6
    x = float(MARGIN)
    for shape, words in entries:
        wide = _BESIDE + text_width(words)
        if x > MARGIN and x + wide > drawing.right:
            x = float(MARGIN)
            drawing.y += LINE + 2
        shape(x, drawing.y - 10)
        drawing.text(x + _BESIDE, drawing.y, words)
        x += wide + _APART
    drawing.y += 6
