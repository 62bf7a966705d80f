"""The page from its contents and templates, as bytes. Every text is escaped by jinja2."""

import re
from base64 import b64encode
from collections.abc import Sequence
from functools import cache
from hashlib import sha256
from importlib.resources import files
from typing import TYPE_CHECKING

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup, escape

from tracker import __version__
from tracker.core.values.month_names import month_name
from tracker.outputs.page.life_line import life_line
from tracker.outputs.page.sections import ShelfPage
from tracker.outputs.pictures.svg import Picture, plain

if TYPE_CHECKING:
    from datetime import date

_WEEKDAYS = ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"]
# So many pieces of a page are put together at a time.
_AT_ONCE = 1000


@cache
def _templates() -> Environment:
    found = Environment(
        loader=PackageLoader("tracker.outputs.page", "."),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=_shown,
    )
    found.filters |= {"day_in_words": _day_in_words, "isolated": _isolated, "drawn": life_line}
    return found


def _isolated(text: str) -> Markup:
    """A text of the book: one beyond ASCII keeps its direction to itself."""
    safe = escape(plain(text))
    return safe if text.isascii() else Markup(f"<bdi>{safe}</bdi>")


def _shown(value: object) -> object:
    """Any text without control codes and marks of direction, which reorder what is read."""
    return plain(value) if isinstance(value, str) and not isinstance(value, Markup) else value


def _day_in_words(day: "date") -> str:
    return f"{_WEEKDAYS[day.weekday()]}, {day.day} {month_name(day)} {day.year}"


@cache
def _style() -> tuple[Markup, str]:
    """The style sheets, and the digest by which the page's policy allows them and no other."""
    found = [files("tracker.outputs.page") / name for name in ("page.css", "life_line.css")]
    text = "".join(one.read_text(encoding="utf-8") for one in found)
    text = re.sub(r"/\*.*?\*/\s*|(?m:^\s+)", "", text, flags=re.DOTALL)
    digest = b64encode(sha256(text.encode()).digest()).decode()
    return Markup(text), f"sha256-{digest}"  # our own file


def whole_page(contents: ShelfPage) -> bytes:
    """The shelf as one self-contained HTML file."""
    style, digest = _style()
    written = (
        _templates()
        .get_template("page.html.jinja")
        .stream(page=contents, style=style, digest=digest, version=__version__)
    )
    written.enable_buffering(_AT_ONCE)
    # A long page is encoded as it is written: whole as pieces it would take five times the memory.
    return b"".join(part.encode() for part in written)


def picture_page(picture: Picture, words: Sequence[str]) -> bytes:
    """One picture as an HTML file, with the same in words below it."""
    style, digest = _style()
    text = (
        _templates()
        .get_template("picture.html.jinja")
        .render(
            picture=picture,
            narrow=b64encode(picture.narrow).decode(),
            wide=b64encode(picture.wide).decode(),
            lines=words,
            style=style,
            digest=digest,
            version=__version__,
        )
    )
    return text.encode()
