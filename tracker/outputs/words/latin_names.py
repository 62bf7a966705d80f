"""Latin names as they are printed: what of them is in italics, and how they are shortened."""

import re
from collections.abc import Iterable

# A text in runs, each with whether it is in italics.
Runs = tuple[tuple[str, bool], ...]

_BINOMIAL = re.compile(r"([A-Z][a-z-]+) ((?:[x×] ?)?[a-z][a-z-]+)")
_SHORT = re.compile(r"[A-Z][a-z-]*\. (?:[x×] ?)?[a-z]")
# Said of a name and no part of it, so upright: International Code of Nomenclature, by its usage.
_RANKS = frozenset(
    ("subsp.", "ssp.", "var.", "subvar.", "f.", "forma", "cv.", "sp.", "spp.", "×", "x")
)
_WORDS = re.compile(r"\S+|\s+")


def is_latin(name: str) -> bool:
    """Whether a herb's name is written as a Latin binomial, and so set in italics."""
    return _BINOMIAL.match(name) is not None


def latin_runs(name: str) -> Runs:
    """A Latin name: its own words in italics, ranks, signs of hybrids and authors upright."""
    if not is_latin(name) and not _SHORT.match(name):
        return ((name, False),)
    runs: list[tuple[str, bool]] = []
    for place, word in enumerate(_WORDS.findall(name)):
        if word.isspace() and runs:
            runs[-1] = (runs[-1][0] + word, runs[-1][1])
            continue
        italic = place == 0 or (word not in _RANKS and word[0].islower())
        if runs and runs[-1][1] == italic:
            runs[-1] = (runs[-1][0] + word, italic)
        else:
            runs.append((word, italic))
    return tuple(runs)


def short_genera(names: Iterable[str]) -> dict[str, str]:
    """Each Latin name with its genus cut short, and no two plants of them cut alike.

    `V. officinalis` where one plant is called so; beside vervain `Va. officinalis`. A name of one
    word stays whole.
    """
    found = {one: _BINOMIAL.match(one) for one in set(names)}
    parted = {name: (one[1], name[one.start(2) :]) for name, one in found.items() if one}
    return {name: _shortest(name, parted) for name in parted}


def _shortest(name: str, parted: dict[str, tuple[str, str]]) -> str:
    genus, rest = parted[name]
    others = [one for one, behind in parted.values() if behind == rest and one != genus]
    letters = next(
        (n for n in range(1, len(genus)) if not any(one.startswith(genus[:n]) for one in others)),
        len(genus),
    )
    return name if letters >= len(genus) - 1 else f"{genus[:letters]}. {rest}"
