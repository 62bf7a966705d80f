"""On which line of a TOML text each key stands, in one pass; tomllib does not say.

It is read before tomllib reads it, so a text that tomllib would never end with is told from one
look: keys of many parts and deep nesting cost tomllib the square of their length.
"""

import re
from typing import Final

from tracker.config.small_file import FileError

Path = tuple[str, ...]

# A rule has a table, the sheets one within another; everything beyond is a slip.
MOST_PARTS: Final = 8
DEEPEST: Final = 8

# A text that is not closed ends the reading here, and tomllib says what is wrong. The groups
# in a text in quotes are possessive, so that no text is tried twice.
_TOKEN: Final = re.compile(
    r"""
      (?P<text> "{3}(?:[^"\\]++|\\.|"{1,2}(?!"))*+"{3,5}
              | '{3}(?:[^']++|'{1,2}(?!'))*+'{3,5}
              | "(?!"")(?:[^"\\\n]++|\\[^\n])*+"
              | '(?!'')[^'\n]*+' )
    | (?P<bare> [^\s\[\]{}=.,#"']++ )
    | (?P<line> \n )
    | (?P<skip> [^\S\n]++ | \#[^\n]*+ )
    | (?P<mark> [\[\]{}=.,] )
    """,
    re.VERBOSE | re.DOTALL,
)
_ESCAPE: Final = re.compile(r"\\(u[0-9a-fA-F]{4}|U[0-9a-fA-F]{8}|.)", re.DOTALL)
_ESCAPED: Final = {"b": "\b", "t": "\t", "n": "\n", "f": "\f", "r": "\r", '"': '"', "\\": "\\"}


class KeyLines:
    """The lines of a text's keys: of tables, of keys with dots and quotes, within `{ … }`."""

    def __init__(self, text: str) -> None:
        self.of: dict[Path, int] = {}
        self._number = 1
        self._table: Path = ()
        self._key: list[str] = []
        # What is open around the place that is read: a `[` of an array, a `{` of a table, each
        # with the path its keys are below; a `head` is the name of a table in `[ ]`.
        self._open: list[tuple[str, Path]] = []
        self._wants_key = True
        self._read(text)

    def __getitem__(self, path: Path) -> int | None:
        """The line of a key, or of the nearest table around it that stands in the text."""
        for length in range(len(path), 0, -1):
            if line := self.of.get(path[:length]):
                return line
        return None

    def _read(self, text: str) -> None:
        place = 0
        while found := _TOKEN.match(text, place):
            place = found.end()
            match found.lastgroup:
                case "line":
                    self._end_line()
                case "text" | "bare" if self._wants_key:
                    self._part(found[0], is_quoted=found.lastgroup == "text")
                case "mark":
                    self._mark(found[0], text, place)
            if found.lastgroup != "line":
                self._number += found[0].count("\n")

    def _end_line(self) -> None:
        self._number += 1
        if not self._open:
            self._key, self._wants_key = [], True

    def _part(self, written: str, *, is_quoted: bool) -> None:
        if len(self._key) == MOST_PARTS:
            raise FileError(
                "a key has too many parts",
                "write it as `stillroom practice --example` does.",
                self._number,
            )
        self._key.append(_unquoted(written) if is_quoted else written)

    def _mark(self, mark: str, text: str, place: int) -> None:
        """Go on behind a mark that is in no text and no remark."""
        inside, below = self._open[-1] if self._open else ("", self._table)
        if mark == "[" and inside == "" and self._wants_key and not self._key:
            self._enter("head", ())
        elif mark == "[" and inside == "head" and not self._key:
            pass  # the second of `[[`
        elif mark == "]" and inside == "head":
            self._table = self._noted(())
            self._open.pop()
            self._wants_key = False
        elif mark == "=" and self._wants_key and inside != "head":
            # A table in `{ }` that may follow has its keys below this one.
            self._key = list(self._noted(below))
            self._wants_key = False
        elif mark in "[{":
            path = tuple(self._key) if inside != "[" else below
            self._enter(mark, path)
            self._key, self._wants_key = [], mark == "{"
        elif mark in "]}" and self._open:
            self._open.pop()
            self._key, self._wants_key = [], False
        elif mark == "," and inside == "{":
            self._key, self._wants_key = [], True

    def _enter(self, mark: str, path: Path) -> None:
        if len(self._open) == DEEPEST:
            raise FileError(
                "there are too many brackets within brackets",
                "write it as `stillroom practice --example` does.",
                self._number,
            )
        self._open.append((mark, path))

    def _noted(self, below: Path) -> Path:
        """The whole path of the key that was read, with its line and those of what is above."""
        path = (*below, *self._key)
        for length in range(len(below) + 1, len(path) + 1):
            self.of.setdefault(path[:length], self._number)
        self._key = []
        return path


def _unquoted(written: str) -> str:
    if written.startswith("'"):
        return written.strip("'")
    return _ESCAPE.sub(_unescaped, written.strip('"'))


def _unescaped(found: re.Match[str]) -> str:
    code = found[1]
    if len(code) > 1 and int(code[1:], 16) <= 0x10FFFF:
        return chr(int(code[1:], 16))
    return _ESCAPED.get(code, code)
