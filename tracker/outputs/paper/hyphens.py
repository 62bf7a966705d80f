"""Where a word may be parted at the end of a line, by the patterns of its language."""

import re
from functools import lru_cache
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from pyphen import Pyphen

# The hyphen of Unicode: one that was typed is U+002D, so the two are never mixed up.
HYPHEN: Final = "\u2010"
# Shorter words, and shorter ends of them, are not worth a hyphen.
_LEAST_WORD: Final = 6
_LEAST_HEAD, _LEAST_TAIL = 2, 3
# A word, and the signs around it. Names in capitals, addresses and codes are no words.
_WORD: Final = re.compile(r"(\W*)([^\W\d_][^\W\d_A-Z]+)(\W*)")
_COMPOUND: Final = re.compile(r"(?<=[^\W\d_]{2})-(?=[^\W\d_]{2})")


@lru_cache(maxsize=4096)
def hyphenated(word: str, language: str | None) -> tuple[tuple[str, str], ...]:
    """The ways to part a word, the longest head first: what ends one line and begins the next.

    A word of several with a hyphen between them is parted behind that hyphen alone.
    """
    compound = [found.end() for found in _COMPOUND.finditer(word)]
    if compound:
        is_word = all(_WORD.fullmatch(part) for part in word.split("-"))
        return tuple((word[:at], word[at:]) for at in reversed(compound)) if is_word else ()
    found = _WORD.fullmatch(word)
    patterns = None if language is None else _patterns(language)
    if found is None or len(found[2]) < _LEAST_WORD or patterns is None:
        return ()
    before, letters, after = found.groups()
    # A place with data would change the spelling, as in Hungarian: the word stays whole there.
    places = [int(one) for one in patterns.positions(letters) if one.data is None]
    return tuple(
        (f"{before}{letters[:place]}{HYPHEN}", f"{letters[place:]}{after}")
        for place in reversed(places)
    )


def hyphenates(language: str) -> bool:
    """Whether there are patterns of a language."""
    return _patterns(language) is not None


@lru_cache(maxsize=4)
def _patterns(language: str) -> "Pyphen | None":
    from pyphen import Pyphen, language_fallback

    if language_fallback(language) is None:
        return None
    return Pyphen(lang=language, left=_LEAST_HEAD, right=_LEAST_TAIL)
