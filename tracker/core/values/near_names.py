"""Names near to one that was not found. The library is loaded only when a name is missing."""

from collections.abc import Iterable

# A name is near when at least half of its letters are those that were typed.
_LEAST_ALIKE = 0.5
_MOST = 3


def near_names(typed: str, names: Iterable[str]) -> list[str]:
    """The names nearest to what was typed, the nearest first; at most three.

    Capitals do not count. Of names equally near the one that sorts first comes first.
    """
    from rapidfuzz import process
    from rapidfuzz.distance import OSA

    found = process.extract(
        typed.strip(),
        sorted(names),
        scorer=OSA.normalized_similarity,
        processor=str.casefold,
        score_cutoff=_LEAST_ALIKE,
        limit=_MOST,
    )
    return [name for name, _, _ in found]


def edits(one: str, other: str, most: int) -> int:
    """Letters put in, left out, changed or swapped with the next; `most` + 1 if more.

    Source:
        The optimal string alignment distance, a restricted form of Damerau (1964).
    """
    from rapidfuzz.distance import OSA

    return OSA.distance(one, other, score_cutoff=most)
