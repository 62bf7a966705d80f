"""The page from its contents and templates, as bytes. Every text is escaped by jinja2."""

import re
from base64 import b64encode
from collections.abc import Sequence
from functools import cache, lru_cache
from hashlib import sha256
from importlib.resources import files
from typing import TYPE_CHECKING
from urllib.parse import quote

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup, escape

from tracker import __version__
from tracker.core.values.day_words import short_day, short_when
from tracker.core.values.times import When
from tracker.outputs.page.life_line import life_line
from tracker.outputs.page.page_names import PlantOnPage
from tracker.outputs.page.sections import ShelfPage
from tracker.outputs.page.whole_amounts import whole_amounts
from tracker.outputs.pictures.life.moments import LETTERS_SAID
from tracker.outputs.pictures.svg import Picture, plain
from tracker.outputs.words.due.near_days import day_in_full
from tracker.outputs.words.latin_names import Runs

if TYPE_CHECKING:
    from datetime import date

# A place of so many letters is not parted at the end of a line.
_SHORT = 24
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
    found.filters |= {
        "as_written": _as_written,
        "beside": _beside,
        "called": _called,
        "day": _day,
        "day_of_month": _day_of_month,
        "drawn": life_line,
        "in_full": day_in_full,
        "isolated": _isolated,
        "kept": _kept,
        "said": short_when,
        "short": short_day,
        "target": _target,
    }
    found.globals["letters_said"] = LETTERS_SAID
    return found


def _isolated(text: str) -> Markup:
    """A text of the book: one beyond ASCII keeps its direction to itself."""
    if _is_simple(text):
        return escape(whole_amounts(text))
    safe = escape(whole_amounts(plain(text)))
    return safe if text.isascii() else Markup(f"<bdi>{safe}</bdi>")


def _as_written(text: str) -> Markup:
    """A text that is copied, or read aloud, with its blanks as they are."""
    return escape(plain(text))


@lru_cache(maxsize=1024)
def _target(anchor: str) -> Markup:
    """Where a link to an id leads."""
    return Markup('href="#{}"').format(quote(anchor))


def _is_simple(text: str) -> bool:
    """Whether nothing in it works unseen: most of a long page need not be searched for that."""
    return text.isascii() and text.isprintable()


def _kept(text: str) -> Markup:
    """A text of the book, in one line where it is short."""
    said = _isolated(text)
    return said.replace(" ", "\N{NO-BREAK SPACE}") if len(text) <= _SHORT else said


def _shown(value: object) -> object:
    """Any text without control codes and marks of direction, which reorder what is read."""
    if not isinstance(value, str) or isinstance(value, Markup):
        return value
    return whole_amounts(value if _is_simple(value) else plain(value))


@lru_cache(maxsize=1024)  # a shelf holds many jars of few plants
def _called(plants: tuple[PlantOnPage, ...]) -> Markup:
    """What plants are called, with their parts and forms: `lemon balm leaf, dried`."""
    each = (_runs(one.called) + _isolated(one.rest) for one in plants)
    return Markup(" + ").join(each)


@lru_cache(maxsize=1024)
def _beside(latin: tuple[Runs, ...]) -> Markup:
    """Latin names that are said beside those, where there are any."""
    if not any(latin):
        return Markup("")
    names = Markup(" + ").join(_runs(one) for one in latin)
    return Markup(' <span class="latin">{}</span>').format(names)


def _runs(runs: Runs) -> Markup:
    """A name, its Latin in italics and said to be Latin; other scripts keep their direction."""
    return Markup("").join(
        Markup('<i lang="la">{}</i>').format(_isolated(text)) if italic else _isolated(text)
        for text, italic in runs
    )


def _day_of_month(day: "date") -> Markup:
    """A day under its month, which says the year."""
    return Markup(f'<time datetime="{day.isoformat()}">{short_day(day, day.year)}</time>')


def _day(day: "date | When") -> Markup:
    """A day as people write it, and as programs read it; one that is not exact is words alone."""
    if isinstance(day, When):
        said = short_when(day)
        if not day.is_exact:
            return escape(said)
        day = day.earliest
    return Markup(f'<time datetime="{day.isoformat()}">{short_day(day)}</time>')


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
