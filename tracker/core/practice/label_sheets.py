"""Where labels lie on paper, in millimetres: any sheet can be described; no brand is built in."""

import re
from collections.abc import Mapping
from typing import Final, NamedTuple

import msgspec

from tracker.core.values.errors import MisusedError

MM_PER_INCH: Final = 25.4
# Paper that a printer at home or in a shop can take, and a label a person can read.
LARGEST_MM: Final = 1500.0
SMALLEST_MM: Final = 8.0
MOST_ON_A_PAGE: Final = 1000
# Sums of millimetres are floats; a printer is out by far more than this.
_SLACK_MM: Final = 0.01


class Box(NamedTuple):
    """A rectangle on a page, from its top left corner, in mm."""

    x: float
    y: float
    width: float
    height: float


class LabelSheet(msgspec.Struct, frozen=True):
    """A page of labels, all lengths in mm; a label of its own where page and label are one.

    Attributes:
        page_mm, label_mm: width and height.
        columns, rows: how many labels across and down.
        left_mm, top_mm: from the page's edge to the first label.
        across_mm, down_mm: the gaps between labels.
        padding_mm: kept free inside each label's edge.
        is_round: whether the label is the ellipse within its rectangle.
        outline: whether a thin line shows where to cut.
    """

    page_mm: tuple[float, float]
    label_mm: tuple[float, float]
    columns: int = 1
    rows: int = 1
    left_mm: float = 0.0
    top_mm: float = 0.0
    across_mm: float = 0.0
    down_mm: float = 0.0
    padding_mm: float = 2.0
    is_round: bool = False
    outline: bool = False

    @property
    def per_page(self) -> int:
        """Labels on one page."""
        return self.columns * self.rows

    def place(self, number: int) -> tuple[int, Box]:
        """The page, from 0, and the rectangle of label `number`, from 0, row by row."""
        page, position = divmod(number, self.per_page)
        row, column = divmod(position, self.columns)
        width, height = self.label_mm
        x = self.left_mm + column * (width + self.across_mm)
        y = self.top_mm + row * (height + self.down_mm)
        return page, Box(x, y, width, height)

    def wrong(self) -> str | None:
        """Why no such sheet can be printed, or None."""
        lengths = (*self.page_mm, *self.label_mm)
        if not all(SMALLEST_MM <= length <= LARGEST_MM for length in lengths):
            return f"page and label are {SMALLEST_MM:g} to {LARGEST_MM:g} mm each way"
        if not (self.columns > 0 < self.rows and self.per_page <= MOST_ON_A_PAGE):
            return f"1 to {MOST_ON_A_PAGE} labels fit a page"
        gaps = (self.left_mm, self.top_mm, self.across_mm, self.down_mm, self.padding_mm)
        if min(gaps) < 0:
            return "a margin or gap below 0 mm"
        if 2 * self.padding_mm + SMALLEST_MM / 2 > min(self.label_mm):
            return "the padding leaves no room on the label"
        _, last = self.place(self.per_page - 1)
        width, height = self.page_mm
        if last.x + last.width > width + _SLACK_MM:
            return f"the labels reach {last.x + last.width:g} mm across a {width:g} mm page"
        if last.y + last.height > height + _SLACK_MM:
            return f"the labels reach {last.y + last.height:g} mm down a {height:g} mm page"
        return None


def single(width_mm: float, height_mm: float, *, is_round: bool = False) -> LabelSheet:
    """One label to a page, as a roll printer takes it."""
    size = (width_mm, height_mm)
    return LabelSheet(size, size, padding_mm=min(2.0, min(size) / 10), is_round=is_round)


# Plain paper to be cut. Pages: A4 of ISO 216, letter of ANSI/ASME Y14.1 (from memory).
BUILT_IN: Final[Mapping[str, LabelSheet]] = {
    "a4": LabelSheet((210, 297), (90, 50), 2, 5, 12, 13.5, 6, 5, outline=True),
    "letter": LabelSheet((215.9, 279.4), (90, 48), 2, 5, 14.95, 9.7, 6, 5, outline=True),
    "lids": LabelSheet(
        (210, 297), (40, 40), 4, 6, 16, 16, 6, 5, padding_mm=1.5, is_round=True, outline=True
    ),
    "short": LabelSheet((210, 297), (40, 20), 4, 11, 16, 13.5, 6, 5, padding_mm=1.5, outline=True),
}


def parse_mm(text: str) -> float:
    """A length in mm: `70`, `70 mm`, `7 cm` or `2.5 in`.

    Raises:
        MisusedError: it is not a length.
    """
    found = re.fullmatch(
        r"([0-9]{1,4}(?:\.[0-9]{1,4})?)\s*(mm|cm|in|inch|inches|)", text.strip().lower()
    )
    if found is None:
        raise MisusedError(
            f"{text!r} is no length on paper.",
            where="the length as written",
            do="write it in millimetres, like 63.5 mm.",
        )
    unit = {"cm": 10.0, "mm": 1.0, "": 1.0}.get(found[2], MM_PER_INCH)
    return float(found[1]) * unit


def parse_size(text: str) -> tuple[float, float]:
    """Width and height in mm: `70x37mm`, `70 x 37`, `4 x 3 in`; the last unit is of both.

    Raises:
        MisusedError: it is no size.
    """
    first, by, second = re.sub("[×X*]", "x", text).partition("x")
    unit = re.sub(r"[\d.\s]", "", second)
    if not by:
        raise MisusedError(
            f"{text!r} is no size of a label.",
            where="the size as written",
            do="write width x height in millimetres, like 70x37mm.",
        )
    bare = re.fullmatch(r"\s*[\d.]+\s*", first)
    return parse_mm(first + unit if bare else first), parse_mm(second)
