"""The cautions short enough for a label: no basis, no doses."""

from collections.abc import Iterable, Iterator
from typing import assert_never

from tracker.core.herbs.tables.cautions_table import Use
from tracker.core.reckoning.cautions import CLOSING, Caution

CHILDREN = "Keep from children."
FLAMMABLE = "Flammable: no flame or spark near it."
EXTERNAL = "External use only."
NOT_INTERNAL = "Not for internal use."
_USES: dict[Use, str] = {"external only": EXTERNAL, "not internal": NOT_INTERNAL}


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
    match one.kind:
        case "plant":
            if one.use is not None:
                yield _USES[one.use]
            yield f"CAUTION: {one.text}."
        case "fire":
            yield FLAMMABLE
        case "care" | "wet":
            yield f"{one.text[:1].upper()}{one.text[1:]}."
        case "lid":
            return
        case _:
            assert_never(one.kind)
