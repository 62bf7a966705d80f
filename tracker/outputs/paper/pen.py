"""Ink on pages: fonts opened when needed, widths in mm, text and bars put in place."""

import logging
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, nullcontext
from datetime import datetime
from functools import lru_cache
from importlib.resources import files
from io import BytesIO
from typing import TYPE_CHECKING, Final

from tracker.core.practice.label_sheets import Box
from tracker.outputs.paper.labels.label_lines import Style
from tracker.outputs.paper.qr import Bar
from tracker.outputs.paper.typefaces import Piece, pieces

if TYPE_CHECKING:
    from contextlib import AbstractContextManager

    from fpdf.fonts import TTFFont

MM_PER_POINT: Final = 25.4 / 72
# The size at which shaped text is measured; widths grow in proportion.
_MEASURED_PT: Final = 100.0
# How thick the outline of a letter is that is made bold by it, in parts of its size.
_OUTLINE: Final = 0.03


class Pen:
    """A PDF being written; lengths are in mm from the top left, sizes of type in points.

    Left as a context, it closes the fonts it opened.
    """

    def __init__(self, title: str, made: datetime, subject: str = "") -> None:
        from fpdf import FPDF
        from fpdf.prefs import ViewerPreferences

        logging.getLogger("fontTools").setLevel(logging.ERROR)
        self._pdf = FPDF(unit="mm")
        self._pdf.set_auto_page_break(False)
        self._pdf.set_margins(0, 0)
        self._pdf.c_margin = 0
        self._pdf.set_display_mode("fullpage")
        # Labels are in their places only if the page is printed at its own size.
        self._pdf.viewer_preferences = ViewerPreferences(print_scaling="None")
        self._pdf.set_title(title)
        self.subject = subject
        if subject:
            self._pdf.set_subject(subject)
        self._pdf.set_creator("Stillroom")
        self._pdf.set_creation_date(made)
        self._fonts: dict[str, TTFFont] = {}
        self.missing: set[str] = set()
        self._pieces = lru_cache(maxsize=None)(self._pieced)
        self._width_of = lru_cache(maxsize=None)(self._measured)
        self._widths: dict[tuple[str, Style], float] = {}

    def __enter__(self) -> "Pen":
        return self

    def __exit__(self, *_: object) -> None:
        for font in self._fonts.values():
            font.ttfont.close()

    def page(self, width_mm: float, height_mm: float) -> None:
        """Begin a page."""
        size = (width_mm, height_mm)
        # A size wider than high would be turned back by the default orientation.
        way = "landscape" if width_mm > height_mm else "portrait"
        self._pdf.add_page(orientation=way, format=(min(size), max(size)))

    def width(self, text: str, style: Style) -> float:
        """How wide a text is, in mm for each point of its size."""
        found = self._widths.get((text, style))
        if found is None:
            found = sum(self._width_of(piece) for piece in self._pieces(text, style))
            self._widths[text, style] = found
        return found

    def write(
        self,
        x: float,
        baseline: float,
        text: str,
        style: Style,
        size_pt: float,
        *,
        white: bool = False,
    ) -> None:
        """Put a text of one line on the page, from its left end; in white, where it is on black."""
        if white:
            self._coloured(255)
        for piece in self._pieces(text, style):
            with self._thick(size_pt) if piece.thickened else nullcontext():
                self._put(piece, x, baseline, size_pt)
            x += self._width_of(piece) * size_pt
        if white:
            self._coloured(0)

    def _put(self, piece: Piece, x: float, baseline: float, size_pt: float) -> None:
        self._pdf.set_font(piece.face, size=size_pt)
        if piece.shaped:
            way = "rtl" if piece.right_to_left else "ltr"
            self._pdf.set_text_shaping(True, direction=way)
            height = size_pt * MM_PER_POINT
            # A cell centres its line: the baseline lies 0.8 of the size below its top.
            self._pdf.set_xy(x, baseline - 0.8 * height)
            self._pdf.cell(h=height, text=piece.text)
            self._pdf.set_text_shaping(False)
        else:
            self._pdf.text(x, baseline, piece.text)

    def _coloured(self, grey: int) -> None:
        self._pdf.set_text_color(grey)
        self._pdf.set_draw_color(grey)

    def _thick(self, size_pt: float) -> "AbstractContextManager[object]":
        """Letters drawn and outlined: bold, where a font has none."""
        thick: AbstractContextManager[object] = self._pdf.local_context(
            text_mode="FILL_STROKE", line_width=size_pt * _OUTLINE
        )
        return thick

    def bars(self, x: float, y: float, size_mm: float, bars: Iterable[Bar]) -> None:
        """The dark modules of a QR code from its upper left corner, as one path.

        Written as PDF operators, in modules: the library's own rectangles take a second for the
        codes of 500 labels, and neighbours drawn one by one leave hairlines on some screens.
        """
        size, left, top = size_mm * self._pdf.k, x * self._pdf.k, (self._pdf.h - y) * self._pdf.k
        path = " ".join(f"{start} {-1 - row} {length} 1 re" for start, row, length in bars)
        self._pdf._out(f"q {size:.5f} 0 0 {size:.5f} {left:.3f} {top:.3f} cm {path} f Q")

    def rule(self, x1: float, x2: float, y: float, thick_mm: float = 0.15, grey: int = 0) -> None:
        """A thin level line, from black (0) to white (255)."""
        self._pdf.set_draw_color(grey)
        self._pdf.set_line_width(thick_mm)
        self._pdf.line(x1, y, x2, y)
        self._pdf.set_draw_color(0)

    def outline(self, box: Box, *, is_round: bool) -> None:
        """A hairline in grey around a label: where to cut."""
        self._pdf.set_draw_color(160)
        self._pdf.set_line_width(0.1)
        if is_round:
            self._pdf.ellipse(*box)
        else:
            self._pdf.rect(*box)
        self._pdf.set_draw_color(0)

    def black(self, box: Box) -> None:
        """A rectangle filled with black."""
        self._pdf.set_fill_color(0)
        self._pdf.rect(*box, style="F")

    def picture(self, box: Box, image: bytes) -> None:
        """A picture as large as it gets in a box, in the middle of it, in its own proportions."""
        self._pdf.image(BytesIO(image), *box, keep_aspect_ratio=True)

    def missing_letters_of(self, texts: Iterable[str]) -> set[str]:
        """The characters of these texts that no font has."""
        return {one for text in texts for one in self._without_a_font(text)}

    @contextmanager
    def within(self, box: Box) -> Iterator[None]:
        """Clip everything drawn meanwhile to this rectangle."""
        # A clip ends with the font it began with, and the library alone does not know.
        with self._pdf.local_context(), self._pdf.rect_clip(*box):
            yield

    def finished(self) -> bytes:
        """The whole PDF."""
        return bytes(self._pdf.output())

    def _font(self, face: str) -> "TTFFont":
        font = self._fonts.get(face)
        if font is None:
            from fpdf.fonts import TTFFont

            folder = files("tracker.outputs.paper") / "fonts"
            self._pdf.add_font(face, fname=str(folder / f"{face}.ttf"))
            added = self._pdf.fonts[face.lower()]
            assert isinstance(added, TTFFont)
            font = self._fonts[face] = added
        return font

    def _covers(self, face: str, letter: str) -> bool:
        return ord(letter) in self._font(face).cmap

    def _without_a_font(self, text: str) -> set[str]:
        return pieces(text, "", self._covers)[1]

    def _pieced(self, text: str, style: Style) -> list[Piece]:
        found, missing = pieces(text, style, self._covers)
        self.missing |= missing
        return found

    def _measured(self, piece: Piece) -> float:
        font = self._font(piece.face)
        if not piece.shaped:
            return sum(font.cw[ord(one)] for one in piece.text) / 1000 * MM_PER_POINT
        self._pdf.set_font(piece.face, size=_MEASURED_PT)
        self._pdf.set_text_shaping(True, direction="rtl" if piece.right_to_left else "ltr")
        width = self._pdf.get_string_width(piece.text)
        self._pdf.set_text_shaping(False)
        return float(width) / _MEASURED_PT


def missing_letters_of(texts: Iterable[str], now: datetime) -> set[str]:
    """The characters that no font has, before anything is written."""
    with Pen("", now) as pen:
        return pen.missing_letters_of(texts)
