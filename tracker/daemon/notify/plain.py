"""Text made safe to show: nothing in it steers a terminal or turns a line around."""

import re

# C0, DEL, C1, the Bidi_Control property of UAX #9 (from memory), the line and paragraph
# separators, and lone surrogates, which no encoder takes.
_UNSAFE = re.compile(
    "[\x00-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ud800-\udfff]"
)


def _shown(found: re.Match[str]) -> str:
    point = ord(found.group())
    return f"\\x{point:02x}" if point <= 0xFF else f"\\u{point:04x}"


def plain_line(text: str) -> str:
    r"""`text` on one line, each unsafe character written as `\xNN` or `\uNNNN`."""
    return _UNSAFE.sub(_shown, text)


def plain_lines(text: str) -> list[str]:
    """The lines of `text`, cut at line feeds only, each made plain."""
    return [plain_line(line) for line in text.split("\n")]


def plain_body(text: str) -> str:
    """`text` made plain, its line feeds kept."""
    return "\n".join(plain_lines(text))


def as_markup(text: str) -> str:
    """`text` for a reader of markup, who then sees it as written."""
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
