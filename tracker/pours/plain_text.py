"""A pour as typed, in the plain letters the grammar is written in."""

import re
import unicodedata

from tracker.core.values.errors import QuantityError
from tracker.core.values.text import is_plain, shown
from tracker.quantities import MOST_LETTERS

_OTHERS = {
    "\N{FRACTION SLASH}": "/",
    "’": "'",
    "‘": "'",
    "´": "'",
    "º": "°",
    "˚": "°",
    "×": "x",
    "٪": "%",
    "﹪": "%",
}
_DASHES = "‐‑‒–—―−﹘﹣－"
_GLUED = re.compile(r"(?<=\d)(ml|cl|dl|l|g|kg|oz)(?=\d)", re.IGNORECASE)
# 80-proof is 80 proof.
_HYPHEN = re.compile(
    r"(?<=\d)-(?=(?:us |uk |british )?(?:proof|per ?cent|degrees?)\b)", re.IGNORECASE
)
_UNSEEN = "\u200b\u200c\u200d\u2060\ufeff\u00ad"


def plain(text: str) -> str:
    """The text with plain digits, blanks, dashes and quotes; its letters as they were.

    Raises:
        QuantityError: it is too long, or holds what no pour is written with.
    """
    if len(text) > MOST_LETTERS:
        raise QuantityError(
            f"{shown(text[:60])}…", "that is too long to read", do="write it shorter."
        )
    if not is_plain(text):
        raise QuantityError(
            shown(text[:60]), "there is a control character in it", do="type it again."
        )
    letters = "".join(_plain_letter(one, text) for one in text)
    return " ".join(_HYPHEN.sub(" ", _GLUED.sub(r"\1 ", letters)).split())


def _plain_letter(one: str, text: str) -> str:
    if one in _DASHES:
        return "-"
    if one in _UNSEEN:
        return ""
    if found := _OTHERS.get(one):
        return found
    kind, plainer = unicodedata.category(one), unicodedata.normalize("NFKC", one)
    if kind == "Nd":
        return str(unicodedata.digit(one))
    if "\N{FRACTION SLASH}" in plainer:  # ½ is 1⁄2
        return f" {plainer.replace(chr(0x2044), '/')} "
    if kind in ("No", "Nl"):
        raise QuantityError(
            text, f"{one!r} is not a digit of an amount", do="write plain digits: 500 ml 45%."
        )
    return plainer


def as_word(text: str) -> str:
    """Lower case, with hyphens as blanks and without points: how words are compared."""
    return " ".join(re.sub(r"[-_/]", " ", text.lower().replace(".", "")).split())
