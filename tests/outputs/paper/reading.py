"""PDFs read again by programs that did not write them: pypdf, PDFium and ZXing."""

import ctypes
import io
import re
from collections.abc import Iterator
from typing import NamedTuple

import pypdf
import pypdfium2
import zxingcpp
from pypdfium2.raw import (
    FPDF_PAGEOBJ_PATH,
    FPDFText_GetCharOrigin,
    FPDFText_GetFillColor,
    FPDFText_GetFontSize,
)

MM_PER_POINT = 25.4 / 72


class Ink(NamedTuple):
    """A rectangle on a page in mm from its top left corner, and what is drawn there."""

    left: float
    top: float
    right: float
    bottom: float
    what: str = ""


def text_of(pdf: bytes, page: int | None = None) -> str:
    """What the pages say, as pypdf reads it, blanks and line ends made one blank."""
    pages = pypdf.PdfReader(io.BytesIO(pdf), strict=True).pages
    chosen = pages if page is None else [pages[page]]
    return " ".join(" ".join(one.extract_text() for one in chosen).split())


def squeezed(text: str) -> str:
    """The text without blanks: where a line was broken no longer matters."""
    return re.sub(r"\s", "", text)


def page_sizes_mm(pdf: bytes) -> list[tuple[float, float]]:
    with pypdfium2.PdfDocument(pdf) as document:
        sizes = [page.get_size() for page in document]
    return [(wide * MM_PER_POINT, high * MM_PER_POINT) for wide, high in sizes]


def letters(pdf: bytes, page: int = 0) -> list[Ink]:
    """The box of every letter that PDFium finds on a page."""
    with pypdfium2.PdfDocument(pdf) as document:
        its = document[page]
        high, text = its.get_height(), its.get_textpage()
        found = []
        for place in range(text.count_chars()):
            letter = text.get_text_range(place, 1)
            if letter.strip():
                found.append(_ink(text.get_charbox(place), high, letter))
        return found


def paths(pdf: bytes, page: int = 0) -> list[Ink]:
    """The bounds of everything drawn that is no text: outlines, rules, codes."""
    with pypdfium2.PdfDocument(pdf) as document:
        its = document[page]
        return [
            _ink(one.get_bounds(), its.get_height(), "path")
            for one in its.get_objects(filter=[FPDF_PAGEOBJ_PATH])
        ]


def _ink(bounds: tuple[float, float, float, float], high: float, what: str) -> Ink:
    left, bottom, right, top = bounds
    return Ink(*(value * MM_PER_POINT for value in (left, high - top, right, high - bottom)), what)


def codes(pdf: bytes, *, dpi: int = 300) -> Iterator[tuple[int, str, tuple[float, float]]]:
    """Every QR code, row by row, as printed at 300 dots an inch: page, text, centre in mm."""
    with pypdfium2.PdfDocument(pdf) as document:
        for number, page in enumerate(document):
            picture = page.render(scale=dpi / 72, grayscale=True).to_pil()
            found = zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormat.QRCode)
            placed = [(_centre_mm(one.position, dpi), one.text) for one in found]
            for centre, text in sorted(placed, key=lambda one: (round(one[0][1]), one[0][0])):
                yield number, text, centre


def _centre_mm(corners: zxingcpp.Position, dpi: int) -> tuple[float, float]:
    first, last = corners.top_left, corners.bottom_right
    return (first.x + last.x) / 2 * 25.4 / dpi, (first.y + last.y) / 2 * 25.4 / dpi


class Letter(NamedTuple):
    """A letter as it is drawn: its box, size in points, baseline in mm, whether it is white."""

    ink: Ink
    size_pt: float
    baseline: float
    is_white: bool


def drawn_letters(pdf: bytes, page: int = 0) -> list[Letter]:
    """Every letter that PDFium finds on a page, blanks left out."""
    with pypdfium2.PdfDocument(pdf) as document:
        its = document[page]
        high, text = its.get_height(), its.get_textpage()
        every = (_letter(text, place, high) for place in range(text.count_chars()))
        return [one for one in every if one.ink.what.strip()]


def _letter(text: pypdfium2.PdfTextPage, place: int, high: float) -> Letter:
    red, green, blue, alpha = (ctypes.c_uint() for _ in range(4))
    across, up = ctypes.c_double(), ctypes.c_double()
    FPDFText_GetFillColor(text, place, red, green, blue, alpha)
    FPDFText_GetCharOrigin(text, place, across, up)
    ink = _ink(text.get_charbox(place), high, text.get_text_range(place, 1))
    return Letter(
        ink,
        FPDFText_GetFontSize(text, place),
        (high - up.value) * MM_PER_POINT,
        (red.value, green.value, blue.value) == (255, 255, 255),
    )
