"""Several things in a few words: codes as ranges, each plant once."""

import re
from collections.abc import Iterable, Sequence

_MOST_NAMED = 12  # by plant and code; of more than that the plants alone are read
_NUMBERED = re.compile(r"(.*?)([0-9]{1,9})")


def things_said(things: Iterable[tuple[str, str]], *, is_everyday: bool = False) -> str:
    """Plants and codes: `lemon balm leaf MEOF-26-01..03, marigold flower CAOF-26-01`.

    Args:
        things: each by its plant and its code.
        is_everyday: whether of very many, such as a shake of the whole shelf, plants are enough.
    """
    plants: dict[str, list[str]] = {}
    for plant, code in things:
        plants.setdefault(plant, []).append(code)
    if not is_everyday or sum(len(_ranges(one)) for one in plants.values()) <= _MOST_NAMED:
        return ", ".join(f"{plant} {codes_said(codes)}".lstrip() for plant, codes in plants.items())
    return ", ".join(
        f"{plant} ({len(codes)})" if len(codes) > 1 else plant or codes[0]
        for plant, codes in plants.items()
    )


def codes_said(codes: Sequence[str]) -> str:
    """Codes as they may be typed: `MEOF-26-01..03, MEOF-26-05`."""
    return ", ".join(_ranges(codes))


def _ranges(codes: Sequence[str]) -> list[str]:
    return [range_said(run) for run in runs_of_codes(codes)]


def range_said(run: Sequence[str]) -> str:
    """Codes that follow each other: `MEOF-26-01..03`, or the one there is."""
    return run[0] if len(run) == 1 else f"{run[0]}..{_number(run[-1])}"


def runs_of_codes(codes: Sequence[str]) -> list[list[str]]:
    """Codes, those that follow each other together."""
    runs: list[list[str]] = []
    for code in codes:
        if runs and _next(runs[-1][-1]) == code:
            runs[-1].append(code)
        else:
            runs.append([code])
    return runs


def _next(code: str) -> str | None:
    """The code one after it; None where it ends in no number."""
    found = _NUMBERED.fullmatch(code)
    return found and f"{found[1]}{int(found[2]) + 1:0{len(found[2])}d}"


def _number(code: str) -> str:
    found = _NUMBERED.fullmatch(code)
    assert found is not None  # it follows another
    return found[2]
