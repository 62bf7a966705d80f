"""Text a person may write, and how text is shown: no control codes, no bidi marks."""

import re

# C0, DEL, C1, line and paragraph separators, bidi embeddings, overrides and isolates, and
# lone surrogates: they move the cursor, break lines or reorder what is read.
_UNPLAIN = re.compile(
    "[\x00-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028\u2029\u202a-\u202e\u2066-\u2069\ud800-\udfff]"
)


def is_plain(text: str) -> bool:
    """Whether the text is free of control codes and bidi marks."""
    return _UNPLAIN.search(text) is None


def says_something(text: str) -> bool:
    """Whether the text is plain and more than blanks."""
    return is_plain(text) and not text.isspace()


def shown(text: str) -> str:
    r"""The text safe for a terminal: each control code or bidi mark as `\xNN` or `\uNNNN`."""
    return _UNPLAIN.sub(_escape, text)


def _escape(found: re.Match[str]) -> str:
    number = ord(found[0])
    return f"\\x{number:02x}" if number < 0x100 else f"\\u{number:04x}"
