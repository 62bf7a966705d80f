"""Signs that are not seen, named for the person who typed or pasted them."""

import unicodedata

from tracker.core.values.text import unseen, without_strays

_NAMES = {"\n": "a line break", "\r": "a line break", "\t": "a tab", "\x1b": "an escape code"}
_MOST_LETTERS = 24


def unseen_sign(text: str) -> str | None:
    """The first sign of a text that is not seen, in words: which it is, and after what.

    One that is left out of what is typed comes last.
    """
    for written in (without_strays(text), text):
        for at, sign in unseen(written):
            return f"{_named(sign)} {_behind(written[:at].rstrip())}"
    return None


def _named(sign: str) -> str:
    if known := _NAMES.get(sign):
        return known
    name = unicodedata.name(sign, "control code").lower()
    return f"{'an' if name[0] in 'aeiou' else 'a'} {name} (U+{ord(sign):04X})"


def _behind(before: str) -> str:
    if not before:
        return "at the beginning"
    return f"after {before[-_MOST_LETTERS:]!r}"
