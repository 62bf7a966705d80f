"""Which font a character is set in, and the order of words that run in two directions.

The fonts are in `fonts/` with their licences; one is opened when a text first needs it.
"""

import unicodedata
from bisect import bisect_right
from collections.abc import Callable
from itertools import groupby
from typing import Final, NamedTuple

TEXT: Final = {"": "NotoSans-Regular", "B": "NotoSans-Bold", "I": "NotoSans-Italic"}
WIDE: Final = "DejaVuSansCondensed"
EAST_ASIAN: Final = "DroidSansFallback"
# What replaces a character that no font has: the replacement character of Unicode.
MISSING: Final = "\ufffd"

# First code point of each block with a font of its own (Unicode, Blocks.txt), and where the
# wide-coverage font takes over again.
_BLOCKS: Final = (
    (0x0000, WIDE),
    (0x0590, "NotoSansHebrew-Regular"),
    (0x0600, "NotoSansArabic-Regular"),
    (0x0700, WIDE),
    (0x0750, "NotoSansArabic-Regular"),
    (0x0780, WIDE),
    (0x08A0, "NotoSansArabic-Regular"),
    (0x0900, "NotoSansDevanagari-Regular"),
    (0x0980, "NotoSansBengali-Regular"),
    (0x0A00, "NotoSansGurmukhi-Regular"),
    (0x0A80, "NotoSansGujarati-Regular"),
    (0x0B00, WIDE),
    (0x0B80, "NotoSansTamil-Regular"),
    (0x0C00, "NotoSansTelugu-Regular"),
    (0x0C80, "NotoSansKannada-Regular"),
    (0x0D00, "NotoSansMalayalam-Regular"),
    (0x0D80, WIDE),
    (0x0E00, "NotoSansThai-Regular"),
    (0x0E80, WIDE),
    (0x1000, "NotoSansMyanmar-Regular"),
    (0x10A0, WIDE),
    (0x1100, EAST_ASIAN),
    (0x1200, WIDE),
    (0x1780, "NotoSansKhmer-Regular"),
    (0x1800, WIDE),
    (0x2E80, EAST_ASIAN),
    (0xA4D0, WIDE),
    (0xAC00, EAST_ASIAN),
    (0xD7B0, WIDE),
    (0xF900, EAST_ASIAN),
    (0xFB00, WIDE),
    (0xFB1D, "NotoSansHebrew-Regular"),
    (0xFB50, "NotoSansArabic-Regular"),
    (0xFE00, EAST_ASIAN),
    (0xFE70, "NotoSansArabic-Regular"),
    (0xFF00, EAST_ASIAN),
    (0xFFF0, WIDE),
    (0x20000, EAST_ASIAN),
    (0x30000, WIDE),
)
_STARTS: Final = [start for start, _ in _BLOCKS]
_RIGHT_TO_LEFT: Final = frozenset({"R", "AL"})
# Joiners and selectors that have no shape of their own: kept where the font knows them.
_SHAPELESS: Final = frozenset(
    {*range(0x200B, 0x200E), 0x2060, 0xFEFF, 0xAD, *range(0xFE00, 0xFE10)}
)

Covers = Callable[[str, str], bool]


class Piece(NamedTuple):
    """Characters in one font and one direction. One that is shaped goes through HarfBuzz."""

    text: str
    face: str
    shaped: bool
    right_to_left: bool


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
        style: "", "B" or "I"; other scripts than Latin, Greek and Cyrillic have one style.
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
        faced = _faced(run, main, covers, missing)
        own = [
            (level, Piece(part, face, level % 2 == 1 or _is_shaped(part, face), level % 2 == 1))
            for face, part in faced
        ]
        found += own
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


def _faced(run: str, main: str, covers: Covers, missing: set[str]) -> list[tuple[str, str]]:
    """Parts of a run of one direction with the font of each."""
    parts: list[tuple[str, str]] = []
    for letter in run:
        before = parts[-1][0] if parts else None
        if ord(letter) in _SHAPELESS:
            if before is None or not covers(before, letter):
                continue
            face = before
        else:
            face, letter = _face(letter, main, before, covers, missing)
        if face == before:
            parts[-1] = (face, parts[-1][1] + letter)
        else:
            parts.append((face, letter))
    return parts


def _face(
    letter: str, main: str, before: str | None, covers: Covers, missing: set[str]
) -> tuple[str, str]:
    clings = letter == " " or unicodedata.combining(letter)
    if before is not None and clings and covers(before, letter):
        return before, letter
    own = _BLOCKS[bisect_right(_STARTS, ord(letter)) - 1][1]
    for face in (main, own, WIDE, EAST_ASIAN):
        if covers(face, letter):
            return face, letter
    missing.add(letter)
    return main, MISSING


def _is_shaped(part: str, face: str) -> bool:
    if face in (*TEXT.values(), WIDE, EAST_ASIAN):
        return any(
            unicodedata.combining(one) or unicodedata.bidirectional(one) in ("R", "AL", "NSM")
            for one in part
        )
    return True
