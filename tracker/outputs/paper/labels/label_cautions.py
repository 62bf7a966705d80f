"""The cautions short enough for a label: no basis, no doses."""

import re
from collections.abc import Iterable, Iterator

from tracker.core.reckoning.cautions import CLOSING, Caution

CHILDREN = "Keep from children."
FLAMMABLE = "Flammable: no flame or spark near it."
EXTERNAL = "External use only."
NOT_INTERNAL = "Not for internal use."


def short(found: Iterable[Caution]) -> list[str]:
    """The cautions a label prints, the gravest first; never empty.

    A bare metal lid is left to the reminders, since a label stays on.
    """
    said = list(dict.fromkeys(line for one in found for line in _short(one)))
    plant = any(one.kind == "plant" for one in found)
    return [*said, CHILDREN, *([CLOSING] if plant else [])]


def shortest(found: Iterable[Caution]) -> str:
    """The same in one line for a lid: the rest is on the jar."""
    kinds = {one.kind for one in found}
    words = [
        *(["Harmful plant: read the jar."] if "plant" in kinds else []),
        *(["Flammable."] if "fire" in kinds else []),
        CHILDREN,
    ]
    return " ".join(words)


def _short(one: Caution) -> Iterator[str]:
    if one.kind == "plant":
        text, basis = _without_basis(one.text)
        if re.search(r"external (use )?[^;)]*only", basis, re.IGNORECASE):
            yield EXTERNAL
        elif re.search("internal use", basis, re.IGNORECASE):
            yield NOT_INTERNAL
        yield f"CAUTION: {text}."
    elif one.kind == "fire":
        yield FLAMMABLE
    elif one.kind == "care":
        note = one.text.partition(": ")[2]
        yield f"{note[:1].upper()}{note[1:]}."
    elif one.kind == "wet":
        yield f"{one.text[:1].upper()}{one.text[1:].partition(';')[0]}."


def _without_basis(text: str) -> tuple[str, str]:
    """A plant's caution and the basis in parentheses at its end, which may nest."""
    if not text.endswith(")"):
        return text, ""
    depth = 0
    for place in range(len(text) - 1, -1, -1):
        depth += (text[place] == ")") - (text[place] == "(")
        if depth == 0:
            return text[:place].rstrip(), text[place + 1 : -1]
    return text, ""
