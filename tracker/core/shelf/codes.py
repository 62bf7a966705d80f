"""The codes of jars: `CAOF-26-01`."""

import re
from collections import defaultdict
from collections.abc import Iterable
from typing import Literal

from tracker.core.shelf.flag import Flag
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.misfit import LetterGivenTwice, RelabelAs
from tracker.core.shelf.thing import Batch


def code_stem(herb: str, year: int) -> str:
    """Two letters of genus and two of species, and the year: `CAOF-26-`.

    A name of one word gives its first four letters; what is not A to Z falls out.
    """
    import unicodedata

    folded = unicodedata.normalize("NFKD", herb).upper()
    words = [re.sub(r"[^A-Z]", "", word) for word in folded.split()]
    words = [word for word in words if word and word != "X"]
    letters = words[0][:2] + words[1][:2] if len(words) > 1 else "".join(words)[:4]
    return f"{letters or 'JAR'}-{year % 100:02d}-"


_NUMBERED = re.compile(r"([A-Z]+)-\d{2}-\d{2,}")


def numbered(code: str) -> str | None:
    """The letters of a code numbered by the year; None of a code of the maker's own."""
    found = _NUMBERED.fullmatch(code)
    return found[1] if found else None


_LOT = re.compile(r"LOT-\d{2}-\d+[a-z]*", re.IGNORECASE)


def lot_stem(year: int) -> str:
    """How the codes of a year's lots begin: `LOT-26-`."""
    return f"LOT-{year % 100:02d}-"


def is_lot_code(text: str) -> bool:
    """Whether a text is the code of a lot."""
    return _LOT.fullmatch(text.strip()) is not None


def next_numbers(stem: str, taken: Iterable[str], count: int = 1) -> list[str]:
    """The next free codes in a row."""
    numbers = [
        int(code[len(stem) :])
        for code in taken
        if code.startswith(stem) and code[len(stem) :].isdecimal()
    ]
    first = max(numbers, default=0) + 1
    return [f"{stem}{number:02d}" for number in range(first, first + count)]


def shown_codes(given: Iterable[tuple[str, str, str]]) -> dict[str, str]:
    """The code each jar is shown under: the first to take a code keeps it.

    Args:
        given: of each jar its born, its id and the code it was given.

    Returns:
        The shown code by id: each later jar of one code has a letter, from b.
    """
    by_code: dict[str, list[str]] = defaultdict(list)
    for _, jar_id, code in sorted(given):
        by_code[code].append(jar_id)
    return {
        jar_id: f"{code}{letter(place).lower()}" if place > 1 else code
        for code, jar_ids in by_code.items()
        for place, jar_id in enumerate(jar_ids, 1)
    }


def letter(place: int) -> str:
    """The letter of a place counted from 1: A, B, … Z, AA."""
    letters = ""
    while place:
        place, number = divmod(place - 1, 26)
        letters = chr(ord("A") + number) + letters
    return letters


def relabel(jar: Batch | Lot, shown: str) -> None:
    """Show a thing under another code than it was given, and flag it until it is relabelled."""
    if shown != jar.code:
        what: Literal["jars", "lots"] = "lots" if isinstance(jar, Lot) else "jars"
        jar.flags.append(Flag(jar.id, RelabelAs(jar.code, shown, what)))
        jar.code = shown


def wants_relabelling(flag: Flag) -> bool:
    """Whether a flag says that a thing is still shown under another code than it was given."""
    return isinstance(flag.misfit, RelabelAs | LetterGivenTwice)
