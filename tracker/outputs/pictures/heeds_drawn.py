"""What to heed, at the foot of a picture: a mark and a sentence each."""

from collections.abc import Sequence

from tracker.outputs.pictures.drawing import LINE, MARGIN, Drawing


def draw_heeds(drawing: Drawing, sentences: Sequence[str]) -> None:
    """Each sentence behind its mark, the whole of it."""
    if not sentences:
        return
    drawing.y += LINE
    drawing.line(MARGIN, drawing.y - 4, drawing.right, drawing.y - 4, "rule")
    for one in sentences:
        drawing.mark(MARGIN + 5, drawing.y + LINE - 5, "heed")
        drawing.words(one, left=MARGIN + 18)
        drawing.y += 4
