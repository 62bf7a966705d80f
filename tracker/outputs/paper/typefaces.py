"""Which font a character is set in, and the order of words that run in two directions.

The fonts are in `fonts/` with their licences; one is opened when a text first needs it. The PDF
library would need all of them open to choose among, and leaves a number between two words from
right to left in the order of a line from left to right; so both are done here.
"""

import unicodedata
from collections.abc import Callable
from functools import lru_cache
from itertools import groupby
from typing import Final, NamedTuple

TEXT: Final = {"": "NotoSans-Regular", "B": "NotoSans-Bold", "I": "NotoSans-Italic"}
WIDE: Final = "DejaVuSansCondensed"
EAST_ASIAN: Final = "DroidSansFallback"
# What replaces a character that no font has: the replacement character of Unicode.
MISSING: Final = "\ufffd"

# Scripts with a font of their own, by the names of Unicode; each has a bold one.
_OWN: Final = {
    name.upper(): f"NotoSans{name}"
    for name in (
        "Arabic",
        "Bengali",
        "Devanagari",
        "Gujarati",
        "Gurmukhi",
        "Hebrew",
        "Kannada",
        "Khmer",
        "Malayalam",
        "Myanmar",
        "Tamil",
        "Telugu",
        "Thai",
    )
}
_RIGHT_TO_LEFT: Final = frozenset({"R", "AL"})
# Joiners and selectors that have no shape of their own: kept where the font knows them.
_SHAPELESS: Final = frozenset(
    {*range(0x200B, 0x200E), 0x2060, 0xFEFF, 0xAD, *range(0xFE00, 0xFE10)}
)

Covers = Callable[[str, str], bool]


class Piece(NamedTuple):
    """Characters in one font and one direction.

    One that is shaped goes through HarfBuzz; one that is thickened is bold, and its font has
    no bold.
    """

    text: str
    face: str
    shaped: bool
    right_to_left: bool
    thickened: bool = False


def reads_right_to_left(text: str) -> bool:
    """Whether the first letter with a direction runs from right to left."""
    for letter in text:
        way = unicodedata.bidirectional(letter)
        if way == "L":
            return False
        if way in _RIGHT_TO_LEFT:
            return True
    return False


def pieces(text: str, style: str, covers: Covers) -> tuple[list[Piece], set[str]]:
    """A text of one line as it is set from left to right, and the characters no font has.

    Args:
        text: any text.
        style: "", "B" or "I"; other scripts than Latin, Greek and Cyrillic have no italics.
        covers: whether a font has a character.
    """
    text = unicodedata.normalize("NFC", text)
    main = TEXT[style]
    if all(covers(main, letter) and not unicodedata.combining(letter) for letter in text):
        return [Piece(text, main, False, False)], set()
    missing: set[str] = set()
    found: list[tuple[int, Piece]] = []
    for level, letters in groupby(_levels(text), key=lambda pair: pair[0]):
        run = "".join(letter for _, letter in letters)
        back = level % 2 == 1
        for face, part in _faced(run, style, covers, missing):
            thickened = style == "B" and face in (WIDE, EAST_ASIAN)
            piece = Piece(part, face, back or _is_shaped(part, face), back, thickened)
            found.append((level, piece))
    return [piece for _, piece in _in_order(found)], missing


def _levels(text: str) -> list[tuple[int, str]]:
    """Each character with its embedding level by the Unicode Bidirectional Algorithm."""
    if not any(unicodedata.bidirectional(letter) in ("R", "AL", "AN") for letter in text):
        return [(0, letter) for letter in text]
    from fpdf.bidi import BidiParagraph

    paragraph = BidiParagraph(text=text)
    return [
        (one.embedding_level, one.character)
        for one in paragraph.get_characters_with_embedding_level()
    ]


def _in_order(found: list[tuple[int, Piece]]) -> list[tuple[int, Piece]]:
    """Pieces in visual order: rule L2 of the Unicode Bidirectional Algorithm (UAX #9)."""
    highest = max((level for level, _ in found), default=0)
    for level in range(highest, 0, -1):
        turned: list[tuple[int, Piece]] = []
        for is_turned, group in groupby(found, key=lambda pair: pair[0] >= level):
            some = list(group)
            turned += reversed(some) if is_turned else some
        found = turned
    return found


def _faced(run: str, style: str, covers: Covers, missing: set[str]) -> list[tuple[str, str]]:
    """Parts of a run of one direction with the font of each."""
    parts: list[tuple[str, str]] = []
    for letter in run:
        before = parts[-1][0] if parts else None
        if ord(letter) in _SHAPELESS:
            if before is None or not covers(before, letter):
                continue
            face = before
        else:
            face, letter = _face(letter, style, before, covers, missing)
        if face == before:
            parts[-1] = (face, parts[-1][1] + letter)
        else:
            parts.append((face, letter))
    return parts


def _face(
    letter: str, style: str, before: str | None, covers: Covers, missing: set[str]
) -> tuple[str, str]:
    if before is not None and _clings(letter) and covers(before, letter):
        return before, letter
    for face in _faces(_script(letter), style, before):
        if covers(face, letter):
            return face, letter
    missing.add(letter)
    return TEXT[style], MISSING


def _clings(letter: str) -> bool:
    """Whether a letter is set in the font of what stands before it."""
    return letter == " " or unicodedata.combining(letter) != 0


@lru_cache(maxsize=256)
def _faces(script: str, style: str, before: str | None) -> tuple[str, ...]:
    """The fonts a letter may be set in, the best first."""
    own = (f"{_OWN[script]}-{'Bold' if style == 'B' else 'Regular'}",) if script in _OWN else ()
    # Signs that several scripts share, as a stop, look like what stands before them.
    near = (before,) if before is not None and script == "COMMON" else ()
    wide = (f"{WIDE}-Bold", WIDE) if style == "B" else (WIDE,)
    return (TEXT[style], *own, *near, *wide, EAST_ASIAN)


def _script(letter: str) -> str:
    from fpdf.unicode_script import get_unicode_script

    return str(get_unicode_script(letter).name)


def _is_shaped(part: str, face: str) -> bool:
    if face in (*TEXT.values(), WIDE, f"{WIDE}-Bold", EAST_ASIAN):
        return any(
            unicodedata.combining(one) or unicodedata.bidirectional(one) in ("R", "AL", "NSM")
            for one in part
        )
    return True
