"""The cautions short enough for a label: no basis, no doses; and which of them may be left off."""

from collections.abc import Iterable, Iterator
from typing import Final, NamedTuple, assert_never

from tracker.core.herbs.tables.cautions_table import Use
from tracker.core.reckoning.cautions import CLOSING, Caution

CHILDREN = "Keep from children."
FLAMMABLE = "Flammable: no flame or spark near it."
EXTERNAL = "External use only."
NOT_INTERNAL = "Not for internal use."
POISONOUS = "Poisonous."
MAY_BE_POISONOUS = "It may be poisonous."
READ_THE_JAR = "Cautions: read the jar."
SEE_HANDOUT = "More cautions: see the handout."
_USES: dict[Use, str] = {"external only": EXTERNAL, "not internal": NOT_INTERNAL}

# How soon a caution is left off where there is no room: the highest first, 0 never. The closing
# line goes before any of them, and nothing stands in its place.
CLOSING_RANK: Final = 4
CARE_RANK: Final = 3
_RANKS: Final = {"poison": 0, "restricted": 1, "caution": 2, "care": CARE_RANK}


class Said(NamedTuple):
    """A caution as a label says it, and the rank at which it may be left off."""

    text: str
    rank: int = 0


def ranked(found: Iterable[Caution], *, named: bool = False) -> list[Said]:
    """The cautions a label prints, the gravest first; never empty.

    A bare metal lid is left to the reminders, since a label stays on.

    Args:
        found: what to be careful of.
        named: whether each names its herb, because there are several.
    """
    every = list(found)
    said = list(dict.fromkeys(line for one in every for line in _short(one, named=named)))
    plant = any(one.kind == "plant" for one in every)
    closing = [Said(CLOSING, CLOSING_RANK)] if plant else []
    return [*_uses(every), *said, Said(CHILDREN), *closing]


def short(found: Iterable[Caution], *, named: bool = False) -> list[str]:
    """The same as texts, for what has room for all of them."""
    return [one.text for one in ranked(found, named=named)]


def shortest(found: Iterable[Caution], *, named: bool = False) -> list[Said]:
    """The same for a lid: the rest is on the jar."""
    every = list(found)
    kinds = {one.kind for one in every}
    harmful = " + ".join(dict.fromkeys(one.herb for one in every if _is_harmful(one) and one.herb))
    milder = [one for one in every if one.herb and not _is_harmful(one)]
    rank = min((_rank(one) for one in milder), default=0)
    said = _uses(every)
    if harmful:
        said.append(Said(f"Harmful plant{f' {harmful}' if named else ''}: read the jar."))
    if "wet" in kinds:
        said.append(Said("Wet herb in oil: read the jar."))
    if "fire" in kinds:
        said.append(Said("Flammable."))
    if milder and not harmful:
        said.append(Said(READ_THE_JAR, rank if rank == CARE_RANK else 0))
    return [*said, Said(CHILDREN)]


def _uses(every: Iterable[Caution]) -> list[Said]:
    """What comes before anything else: that it is poisonous, and how it must not be used."""
    found = [*every]
    poisons = [one for one in found if one.level == "poison" and one.use is None]
    sure = any(not one.is_guess for one in poisons)
    first = [Said(POISONOUS if sure else MAY_BE_POISONOUS)] if poisons else []
    uses = dict.fromkeys(Said(_USES[one.use]) for one in found if one.use is not None)
    return [*first, *uses]


def _is_harmful(one: Caution) -> bool:
    return one.is_grave or one.level == "restricted"


def _rank(one: Caution) -> int:
    return 0 if one.is_grave or one.level is None else _RANKS[one.level]


def _short(one: Caution, *, named: bool) -> Iterator[Said]:
    match one.kind:
        case "plant":
            yield Said(f"CAUTION: {one.text}.", _rank(one))
        case "fire":
            yield Said(FLAMMABLE)
        case "care" | "wet":
            herb = f"{one.herb}: " if named and one.herb else ""
            yield Said(f"{herb}{one.text[:1].upper()}{one.text[1:]}.", _rank(one))
        case "lid":
            return
        case _:
            assert_never(one.kind)
