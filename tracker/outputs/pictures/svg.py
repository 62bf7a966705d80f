"""A drawing as an SVG file that also describes itself in words, in light and in dark.

The same shelf gives the same bytes.
"""

import re
from collections.abc import Callable
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING
from xml.etree import ElementTree

import msgspec

from tracker.core.values.text import shown

if TYPE_CHECKING:
    from tracker.outputs.pictures.drawing import Drawing

SVG = "http://www.w3.org/2000/svg"

# Characters that XML 1.0 has no way to write (production 2, Char), beyond those `shown` takes.
_NOT_XML = re.compile("[\ufffe\uffff]")


class Picture(msgspec.Struct, frozen=True):
    """An SVG for a phone and one for a page, with their title and what they show in words."""

    title: str
    words: str
    narrow: bytes
    wide: bytes


def plain(text: str) -> str:
    """The text as a picture may hold it."""
    return _NOT_XML.sub("\N{REPLACEMENT CHARACTER}", shown(text))


def picture(
    title: str, words: str, draw: "Callable[[Drawing], None]", *, heed: str = ""
) -> Picture:
    """What `draw` makes in either width, with its title and description.

    Args:
        title: what it is of.
        words: all that it shows, in words.
        draw: draws on a drawing of any width.
        heed: what is said first of the whole picture: that the book is not whole.
    """
    from tracker.outputs.pictures.drawing import NARROW, WIDE

    title, words = plain(title), plain(f"{heed} {words}" if heed else words)
    narrow, wide = (_drawn(width, title, words, draw, heed) for width in (NARROW, WIDE))
    return Picture(title, words, narrow, wide)


def _drawn(
    width: int, title: str, words: str, draw: "Callable[[Drawing], None]", heed: str
) -> bytes:
    from tracker.outputs.pictures.drawing import MARGIN, Drawing

    drawing = Drawing(width)
    if heed:
        drawing.words(heed, "heed strong")
        drawing.y += 6
    draw(drawing)
    return _described(drawing.root, width, round(drawing.y + MARGIN), title, words)


def _described(
    drawn: ElementTree.Element, width: int, height: int, title: str, words: str
) -> bytes:
    """Name the picture and say what it shows (SVG 2, 5.8: title and desc come first)."""
    ElementTree.register_namespace("", SVG)
    root = ElementTree.Element(
        f"{{{SVG}}}svg",
        {
            "class": "picture",
            "width": str(width),
            "height": str(height),
            "viewBox": f"0 0 {width} {height}",
            "role": "img",
            "aria-labelledby": "picture-title picture-words",
        },
    )
    for tag, name, text in (("title", "picture-title", title), ("desc", "picture-words", words)):
        ElementTree.SubElement(root, f"{{{SVG}}}{tag}", {"id": name}).text = text
    ElementTree.SubElement(root, f"{{{SVG}}}style").text = _style()
    root.append(_hatching())
    paper = {"class": "paper", "width": "100%", "height": "100%"}
    ElementTree.SubElement(root, f"{{{SVG}}}rect", paper)
    root.append(drawn)
    written: bytes = ElementTree.tostring(root, encoding="utf-8", xml_declaration=True)
    return written


@cache
def _style() -> str:
    """The style sheet of every picture, without its comments."""
    text = files("tracker.outputs.pictures").joinpath("picture.css").read_text(encoding="utf-8")
    return re.sub(r"/\*.*?\*/\s*|(?m:^\s+)", "", text, flags=re.DOTALL)


def _hatching() -> ElementTree.Element:
    """What is on hold is hatched, so that it is told apart without any colour."""
    defs = ElementTree.Element(f"{{{SVG}}}defs")
    pattern = ElementTree.SubElement(
        defs,
        f"{{{SVG}}}pattern",
        {"id": "hatched", "width": "5", "height": "5", "patternUnits": "userSpaceOnUse"},
    )
    ElementTree.SubElement(
        pattern, f"{{{SVG}}}path", {"class": "hatch", "d": "M0 5L5 0M-1 1L1-1M4 6L6 4"}
    )
    return defs
