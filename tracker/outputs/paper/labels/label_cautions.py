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


def short(found: Iterable[Caution], *, named: bool = False) -> list[str]:
    """The cautions a label prints, the gravest first; never empty.

    A bare metal lid is left to the reminders, since a label stays on.

    Args:
        found: what to be careful of.
        named: whether each names its herb, because there are several.
    """
    every = list(found)
    said = list(dict.fromkeys(line for one in every for line in _short(one, named=named)))
    plant = any(one.kind == "plant" for one in every)
    return [*said, CHILDREN, *([CLOSING] if plant else [])]


def shortest(found: Iterable[Caution], *, named: bool = False) -> str:
    """The same in one line for a lid: the rest is on the jar."""
    every = list(found)
    kinds = {one.kind for one in every}
    harmful = " + ".join(
        dict.fromkeys(one.herb for one in every if one.kind == "plant" and one.herb)
    )
    words = [
        *([f"Harmful plant{f' {harmful}' if named else ''}: read the jar."] if harmful else []),
        *(["Wet herb in oil: read the jar."] if "wet" in kinds else []),
        *(["Flammable."] if "fire" in kinds else []),
        CHILDREN,
    ]
    return " ".join(words)


def _short(one: Caution, *, named: bool) -> Iterator[str]:
    match one.kind:
        case "plant":
            if one.use is not None:
                yield _USES[one.use]
            yield f"CAUTION: {one.text}."
        case "fire":
            yield FLAMMABLE
        case "care" | "wet":
            herb = f"{one.herb}: " if named and one.herb else ""
            yield f"{herb}{one.text[:1].upper()}{one.text[1:]}."
        case "lid":
            return
        case _:
            assert_never(one.kind)
