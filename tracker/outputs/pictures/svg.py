"""A matplotlib figure as an SVG that also describes itself in words.

Text stays text, in whatever fonts the reader has, so that any script is readable and may be
searched. The same shelf gives the same bytes.
"""

import re
import warnings
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from io import BytesIO
from typing import TYPE_CHECKING
from xml.etree import ElementTree

import msgspec

from tracker.core.values.errors import TrackerError
from tracker.core.values.text import shown

if TYPE_CHECKING:
    from matplotlib.figure import Figure

SVG = "http://www.w3.org/2000/svg"
XLINK = "http://www.w3.org/1999/xlink"
INK, FAINT, PAPER = "#1b1a17", "#5c574e", "#ffffff"

# Characters that XML 1.0 has no way to write (production 2, Char), beyond those `shown` takes.
_NOT_XML = re.compile("[\ufffe\uffff]")

_LOOK = {
    "svg.fonttype": "none",
    "svg.hashsalt": "stillroom",
    "text.parse_math": False,  # a $ in a name is a dollar
    "font.family": ["sans-serif"],
    "font.sans-serif": ["DejaVu Sans", "Noto Sans", "Arial", "sans-serif"],
    "font.size": 10,
    "axes.edgecolor": FAINT,
    "axes.labelcolor": INK,
    "text.color": INK,
    "xtick.color": FAINT,
    "ytick.color": FAINT,
    "hatch.color": INK,
    "hatch.linewidth": 0.6,
    "axes.spines.top": False,
    "axes.spines.right": False,
}


class Picture(msgspec.Struct, frozen=True):
    """An SVG, with its title and what it shows in words."""

    title: str
    words: str
    svg: bytes


def plain(text: str) -> str:
    """The text as a picture may hold it."""
    return _NOT_XML.sub("\N{REPLACEMENT CHARACTER}", shown(text))


@contextmanager
def _matplotlib() -> Iterator[None]:
    """Our look, with what it draws by, for the length of a drawing.

    Raises:
        TrackerError: it is not installed.
    """
    try:
        import matplotlib as mpl
    except ImportError as reason:
        raise TrackerError(
            "Pictures as files need matplotlib, which is not installed.",
            where="the extra `pictures`",
            do="install it: pipx inject stillroom matplotlib, or pip install "
            "'stillroom[pictures]'. The same picture in the terminal needs nothing.",
        ) from reason
    with mpl.rc_context(_LOOK), warnings.catch_warnings():
        # The reader's fonts have the glyphs that the one measured with here may lack.
        warnings.filterwarnings("ignore", message="Glyph .* missing from")
        warnings.filterwarnings("ignore", message="Matplotlib currently does not support")
        yield


def picture(title: str, words: str, draw: Callable[[], "Figure"]) -> Picture:
    """What `draw` makes, as an SVG with its title and description.

    Raises:
        TrackerError: matplotlib is not installed.
    """
    title, words = plain(title), plain(words)
    stream = BytesIO()
    with _matplotlib():
        figure = draw()
        figure.patch.set_facecolor(PAPER)
        figure.savefig(stream, format="svg", metadata={"Date": None, "Creator": None})
    return Picture(title, words, _described(stream.getvalue(), title, words))


def _described(svg: bytes, title: str, words: str) -> bytes:
    """Name the picture and say what it shows (SVG 2, 5.8: title and desc come first)."""
    ElementTree.register_namespace("", SVG)
    ElementTree.register_namespace("xlink", XLINK)
    root = ElementTree.fromstring(svg)
    for metadata in root.findall(f"{{{SVG}}}metadata"):
        root.remove(metadata)
    root.set("role", "img")
    root.set("aria-labelledby", "picture-title picture-words")
    for place, (tag, text) in enumerate((("title", title), ("desc", words))):
        element = ElementTree.Element(f"{{{SVG}}}{tag}")
        element.set("id", "picture-title" if tag == "title" else "picture-words")
        element.text = text
        root.insert(place, element)
    written: bytes = ElementTree.tostring(root, encoding="utf-8", xml_declaration=True)
    return written
