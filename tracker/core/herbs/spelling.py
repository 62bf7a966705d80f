"""Names of plants as words that can be compared, and how far a slip of the pen may go."""

import re
from functools import lru_cache

from tracker.core.values.near_names import edits

Words = tuple[str, ...]

_WORD = re.compile(r"[^\W_]+")
_DROPPED = dict.fromkeys(map(ord, "'’ʼ‘`´"), None) | {ord("×"): " "}


@lru_cache(maxsize=4096)
def words(text: str) -> Words:
    """The words of a name: lower case, no accents or marks, no hybrid sign.

    `St. John’s wort` gives st, johns, wort; `Mentha × piperita` gives mentha, piperita.
    """
    folded = text.translate(_DROPPED).lower()
    if not folded.isascii():
        import unicodedata

        signs = unicodedata.normalize("NFKD", folded)
        folded = "".join(sign for sign in signs if not unicodedata.combining(sign))
    found = _WORD.findall(folded)
    return tuple("st" if word == "saint" else word for word in found if word != "x")


@lru_cache(maxsize=4096)
def spoken(text: str) -> Words:
    """The words of a common name, each in the singular."""
    return tuple(singular(word) for word in words(text))


def singular(word: str) -> str:
    """A word without the s of the plural: `berries` is berry, `officinalis` stays."""
    if len(word) < 4 or not word.endswith("s") or word.endswith(("ss", "us", "is")):
        return word
    return f"{word[:-3]}y" if word.endswith("ies") else word[:-1]


def slips(typed: Words, meant: Words) -> int | None:
    """How many slips lie between two names of as many words; None if it is another name.

    Short words allow no slip, and a name of one word allows fewer than one of two, since there
    is no second word to confirm it: Digitaria is a grass, and pansy no tansy. A single
    letter stands for any word it begins.
    """
    if len(typed) != len(meant) or typed == meant:
        return 0 if typed == meant else None
    found = [_between(*pair, alone=len(meant) == 1) for pair in zip(typed, meant, strict=True)]
    total = sum(far for far in found if far is not None)
    return None if None in found or total > _MOST_IN_ALL else total


def latin_slips(typed: Words, meant: Words) -> int | None:
    """The slips between a name and a species, whatever follows the name.

    An epithet with a hyphen counts as one word: nux-vomica.
    """
    return slips(_two_words(typed[: len(meant)]), _two_words(meant))


def _two_words(name: Words) -> Words:
    return (name[0], "".join(name[1:])) if len(name) > 2 else name


_MOST_IN_ALL = 3


def _between(word: str, meant: str, *, alone: bool) -> int | None:
    """The slips in one word of a name; None if they are too many."""
    if not alone and (meant.startswith(word) if len(word) == 1 else _same_stem(word, meant)):
        return int(word != meant)
    few, many = (7, 10) if alone else (5, 8)
    most = 0 if len(meant) < few else 1 if len(meant) < many else 2
    found = edits(word, meant, most)
    return found if found <= most else None


def _same_stem(word: str, other: str) -> bool:
    """Whether two Latin words differ by their ending alone: album, alba."""
    return len(_stem(word)) > 2 and _stem(word) == _stem(other)


def _stem(word: str) -> str:
    end = next((end for end in ("us", "um", "is", "a", "e") if word.endswith(end)), "")
    return word.removesuffix(end)
