"""Text a person may write, and how text is shown: nothing in it that works unseen."""

import re
from collections.abc import Iterator

# What moves the cursor, breaks lines, reorders what is read or cannot be seen: all of Cc, Zl, Zp,
# Cs, the noncharacters, and Cf but for the signs of Arabic and Kaithi numbers, which are seen;
# with the blank letters that Unicode counts as other kinds. tests/core/values/test_text.py holds
# it to `unicodedata`. The joiners and selectors at the end depend on what they stand beside.
_UNPLAIN = re.compile(
    "[\x00-\x1f\x7f-\x9f\xad\u034f\u061c\u070f\u115f\u1160\u17b4\u17b5\u180e\u200b\u200e\u200f"
    "\u2028-\u202e\u2060-\u206f\u3164\ud800-\udfff\ufdd0-\ufdef\ufeff\uffa0\ufff0-\ufffb\ufffe\uffff"
    "\U00013430-\U0001343f\U00013441\U00013442"
    "\U0001bca0-\U0001bca3\U0001d173-\U0001d17a\U000e0000-\U000e0fff"
    "\u200c\u200d\ufe00-\ufe0f"
    + "".join(
        f"{chr(plane + 0xFFFE)}{chr(plane + 0xFFFF)}" for plane in range(0x10000, 0x110000, 0x10000)
    )
    + "]"
)

# First and last of the scripts that join letters or keep them apart by a sign that is not seen:
# Hebrew to Myanmar, Khmer to Tai Tham, the later ones of India; and pictures joined into one.
_JOINED = (
    *("\u0590\u109f", "\u1780\u1aff", "\ua800\uabff", "\ufb1d\ufdcf", "\ufe70\ufefc"),
    *("\U00010a00\U00011fff", "\u2190\u2bff", "\ufe0f\ufe0f", "\U0001f000\U0001faff"),
)
_HAN = ("\u3400\u9fff", "\uf900\ufaff", "\U00020000\U0003ffff")

# What a page of the web leaves in the words that are copied from it: places where a line may or
# may not break, joiners, selectors. Where no script needs them, words are the same without them.
_STRAY = "[\xad\u200b-\u200d\u2060\ufeff\ufe00-\ufe0f]"


def is_plain(text: str) -> bool:
    """Whether everything in the text is seen: no control codes, no bidi marks, no blank signs."""
    return not any(unseen(text))


def unseen(text: str) -> Iterator[tuple[int, str]]:
    """Where each sign that is not seen stands, and the sign."""
    return ((one.start(), one[0]) for one in _UNPLAIN.finditer(text) if not _is_needed(one))


def without_strays(text: str) -> str:
    """The text without soft hyphens, blanks of no width, and joiners that nothing needs."""
    return re.sub(_STRAY, lambda found: found[0] if _is_needed(found) else "", text)


def says_something(text: str) -> bool:
    """Whether the text is plain and more than blanks."""
    return is_plain(text) and not text.isspace()


def shown(text: str) -> str:
    r"""The text safe for a terminal: what works unseen as `\xNN`, `\uNNNN` or `\UNNNNNNNN`."""
    return _UNPLAIN.sub(_escape, text)


def escaped_json(text: str) -> str:
    r"""JSON with what works unseen as `\uNNNN`, which is the same data; line feeds stay."""
    return _UNPLAIN.sub(_escape_in_json, text)


def _escape(found: re.Match[str]) -> str:
    if _is_needed(found):
        return found[0]
    number = ord(found[0])
    if number < 0x100:
        return f"\\x{number:02x}"
    return f"\\u{number:04x}" if number < 0x10000 else f"\\U{number:08x}"


def _escape_in_json(found: re.Match[str]) -> str:
    if found[0] == "\n" or _is_needed(found):
        return found[0]
    return utf16_escapes(found[0])


def utf16_escapes(letter: str) -> str:
    r"""A letter as JSON escapes it: `\uNNNN`, in pairs beyond four digits."""
    pair = letter.encode("utf-16-be", "surrogatepass")
    return "".join(f"\\u{pair[at]:02x}{pair[at + 1]:02x}" for at in range(0, len(pair), 2))


def _is_needed(found: re.Match[str]) -> bool:
    """Whether a sign that is not seen is part of how the letters beside it are written."""
    sign, at, text = found[0], found.start(), found.string
    if at == 0:
        return False
    before, after = text[at - 1], text[at + 1 : at + 2]
    if sign in "\u200c\u200d":
        return _is_in(_JOINED, before) and _is_in(_JOINED, after)
    if "\ufe00" <= sign <= "\ufe0f":
        is_letter = before.isascii() and before.isalpha()
        return not (is_letter or before.isspace() or _UNPLAIN.match(before))
    return "\U000e0100" <= sign <= "\U000e01ef" and _is_in(_HAN, before)


def _is_in(ranges: tuple[str, ...], letter: str) -> bool:
    return any(one[0] <= letter <= one[1] for one in ranges)
