"""A short digest of the whole book, to write on paper: `12+40.7QXK-…`.

Before the point stand the numbers of lines of each file, in the order of their names; after it
twenty characters (100 bits of SHA-256, in Crockford's base 32) over the name, the number of
lines and the last chain digest of each file. The numbers are there so that a book that has
grown since can be held to it: its files are cut to those numbers and reckoned again.
"""

import re
from collections.abc import Iterable, Sequence
from hashlib import sha256
from itertools import combinations, islice
from math import comb
from pathlib import Path
from typing import Literal

from tracker.core.values.errors import MisusedError
from tracker.journal.file_marks import Mark
from tracker.journal.seen_before import digest_at

Verdict = Literal["same", "grown", "other"]

_ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"  # Crockford's: no I, L, O, U
_CHARACTERS = 20
_TEXT = re.compile(r"(\d+(?:\+\d+)*)\.([0-9A-Z]{20})")
# A book of more files than this many choices needs is not searched for the files of old.
_MOST_CHOICES = 20_000


def proof_of(files: Iterable[Mark]) -> str:
    """The text to write down for a book whose files were read as far as these marks."""
    return _proof([(one.file, one.lines, one.digest) for one in files if one.lines])


def _proof(files: Sequence[tuple[str, int, str]]) -> str:
    ordered = sorted(files)
    text = "".join(f"{name}\n{lines}\n{digest}\n" for name, lines, digest in ordered)
    number = int.from_bytes(sha256(text.encode()).digest()) >> (256 - 5 * _CHARACTERS)
    letters = "".join(_ALPHABET[number >> 5 * place & 31] for place in reversed(range(_CHARACTERS)))
    groups = "-".join(letters[at : at + 4] for at in range(0, _CHARACTERS, 4))
    counts = "+".join(str(lines) for _, lines, _ in ordered) or "0"
    return f"{counts}.{groups}"


def compare(book: Path, files: Sequence[Mark], text: str) -> Verdict:
    """What has become of a book since this text was written down.

    Args:
        book: the book's folder.
        files: how far each of its files was read.
        text: as printed; capitals, blanks and hyphens do not matter.

    Returns:
        `same`; `grown`, where all that was in it is still in it and there is more now; or
        `other`, where it is not that book, or something of it is gone or changed.

    Raises:
        MisusedError: the text is none that was printed here.
    """
    counts, letters = _read(text)
    wanted = proof_of(files)
    if _read(wanted) == (counts, letters):
        return "same"
    counts = [count for count in counts if count]
    held = sorted((one for one in files if one.lines), key=lambda one: one.file)
    if comb(len(held), min(len(counts), len(held))) > _MOST_CHOICES:
        held = held[: len(counts)]
    for choice in islice(combinations(held, len(counts)), _MOST_CHOICES):
        if any(one.lines < count for one, count in zip(choice, counts, strict=True)):
            continue
        then = [
            (one.file, count, digest_at(book, one.file, count) or "")
            for one, count in zip(choice, counts, strict=True)
        ]
        if _read(_proof(then))[1] == letters:
            return "grown"
    return "other"


def _read(text: str) -> tuple[list[int], str]:
    plain = re.sub(r"[\s-]", "", text).upper().translate(str.maketrans("OIL", "011"))
    found = _TEXT.fullmatch(plain)
    if found is None:
        raise MisusedError(
            f"{text!r} is not a digest of a book.",
            where="--against",
            do="write it as `check --digest` prints it, such as 12+40.7QXK-….",
        )
    return [int(count) for count in found[1].split("+")], found[2]
