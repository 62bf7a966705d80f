"""The rows of the cautions tables, read: the names each is known by, and what it says."""

import re
from functools import cache
from typing import NamedTuple

from tracker.core.herbs import names
from tracker.core.herbs.parts import parts_in, split_part
from tracker.core.herbs.spelling import Words, words
from tracker.core.herbs.tables.caution_corrections_table import (
    BASES,
    GROUPS,
    HAZARDS,
    HMR_PART_1_READ,
    MORE_NAMES,
    MORE_SPECIES,
    OF_THEIR_PART,
    ON_ANNEX_1B,
    ON_ANNEX_1B_WITH_LIMITS,
    READ,
    REASONS,
    RESTRICTED,
)
from tracker.core.herbs.tables.cautions_table import CAUTIONS, USES, Use
from tracker.core.herbs.tables.more_cautions_table import MORE_CAUTIONS, Group, Level

# Genera of which every species is handled with the same care. From memory of toxicology
# handbooks; the other rows hold for their own species alone, since Artemisia, Mentha or
# Juniperus are mostly harmless.
_WHOLE_GENUS = frozenset(
    {"aconitum", "adonis", "apocynum", "atropa", "colchicum", "conium", "convallaria"}
    | {"crotalaria", "datura", "delphinium", "gelsemium", "helleborus", "hyoscyamus"}
    | {"laburnum", "petasites", "phytolacca", "podophyllum", "symphytum", "taxus"}
    | {"aloe", "daphne", "frangula", "gloriosa", "mandragora", "nicotiana", "pulsatilla"}
    | {"rheum", "senna"}
)

# Other names that plants of the first table go by, from memory.
_ALSO: dict[str, tuple[str, ...]] = {
    "Aconitum napellus": ("aconite", "wolfsbane"),
    "Asarum europaeum": ("asarabacca",),
    "Bryonia dioica": ("bryony",),
    "Colchicum autumnale": ("autumn crocus",),
    "Conium maculatum": ("poison hemlock", "spotted hemlock"),
    "Datura stramonium": ("jimsonweed", "jimson weed"),
    "Eupatorium cannabinum": ("Eupatorium purpureum", "joe pye weed"),
    "Larrea tridentata": ("creosote bush",),
    "Lobelia inflata": ("Indian tobacco",),
    "Phytolacca americana": ("Phytolacca decandra", "poke", "pokeweed"),
    "Piper methysticum": ("kava kava",),
    "Symphytum officinale": ("knitbone",),
}

_GRAVITY: dict[Level, int] = {"poison": 0, "restricted": 1, "caution": 2, "care": 3}


class CautionRow(NamedTuple):
    """A row of the tables, and the names it is known by.

    Attributes:
        latin, common, reason, basis: as published, or as corrected since.
        species: each species, synonyms included.
        genera: those of which the row holds as a whole.
        kin: those whose other species are to be mistrusted.
        called: common names, with the parts each of them is limited to.
        limit: the parts the row is limited to; none for all.
        level: how grave it is.
        groups: for whom, or in what way.
        seen: how much of it was read, in words; empty where the basis says so.
        checked: whether all of the reason was read in the source.
        fresh_only: whether it is about fresh herb alone.
        is_first: whether it is of the first table, whose names are searched for in longer ones.
        use: what the plant must not be used for, where the row says so.
    """

    latin: str
    common: str
    reason: str
    basis: str
    species: tuple[Words, ...]
    genera: frozenset[str]
    kin: frozenset[str]
    called: tuple[tuple[Words, frozenset[str]], ...]
    limit: frozenset[str]
    level: Level
    groups: tuple[Group, ...]
    seen: str
    checked: bool
    fresh_only: bool
    is_first: bool
    use: Use | None = None

    @property
    def gravity(self) -> int:
        """0 for a poison or what is not to be taken, and more the milder it is."""
        return 0 if self.use is not None else _GRAVITY[self.level]


@cache
def rows() -> tuple[CautionRow, ...]:
    """Every row but those of families: the first table, then the further one."""
    first = [_first(*row) for row in CAUTIONS]
    return (*first, *(_further(*row) for row in MORE_CAUTIONS if "(family)" not in row[0]))


@cache
def families() -> dict[str, CautionRow]:
    """The rows that hold for a whole family, by its name."""
    found = (_further(*row) for row in MORE_CAUTIONS if "(family)" in row[0])
    return {one.latin.removesuffix(" (family)"): one for one in found}


def _first(latin: str, common: str, reason: str, basis: str, seen: str) -> CautionRow:
    species, genera, limit = _latin_names(latin)
    species += tuple(names.binomial(one) for one in MORE_SPECIES.get(latin, ()))
    several = len([one for one in latin.split(" / ") if "spp." not in one]) > 1
    firsts = {one[0] for one in species}
    said = common.partition(" (")[0].split("/")
    for first, also in _ALSO.items():
        said += also if latin.startswith(first) else ()
    reason, basis = REASONS.get(latin, reason), BASES.get(latin, basis)
    if latin in ON_ANNEX_1B | ON_ANNEX_1B_WITH_LIMITS:
        limits = "within limits of the alkaloids" if latin in ON_ANNEX_1B_WITH_LIMITS else None
        basis += f"; German AMVerkRV Annex 1b ({limits or 'pharmacy only'})"
    is_law = any(word in basis for word in ("UK ", "FDA", "AMVerkRV", "Regulation"))
    return CautionRow(
        latin=latin,
        common=common,
        reason=reason,
        basis=basis,
        species=species,
        genera=genera,
        kin=frozenset(firsts if several else firsts & _WHOLE_GENUS),
        called=tuple(pair for one in said for pair in _called(one)),
        limit=limit,
        level=_level(latin),
        groups=(*GROUPS.get(latin, ()), *(("law",) if is_law else ())),
        seen=_seen(latin, basis, seen),
        checked=latin in READ,
        fresh_only=False,
        is_first=True,
        use=USES.get(latin),
    )


def _level(latin: str) -> Level:
    return "restricted" if latin in RESTRICTED else "caution" if latin in HAZARDS else "poison"


def _seen(latin: str, basis: str, seen: str) -> str:
    if latin in READ:
        return "read"
    return HMR_PART_1_READ if basis.startswith("UK HMR 2012 Sch 20 Part 1") else seen


def _further(
    latin: str, part: str, level: Level, what: str, groups: str, source: str, checked: str
) -> CautionRow:
    species, genera, _ = _latin_names(latin)
    called = MORE_NAMES.get(latin, ()) if "(family)" not in latin else ()
    known = names.known(latin.partition(" /")[0].partition(" (")[0])
    usual = known.plant.common if known and known.how == "latin" and known.plant else ""
    held = tuple(one for one in groups.split(";") if one)
    return CautionRow(
        latin=latin,
        common=called[0] if called else usual,
        reason=what,
        basis=source,
        species=species,
        genera=genera,
        kin=frozenset({one[0] for one in species} & _WHOLE_GENUS),
        called=tuple(pair for one in called for pair in _called(one)),
        limit=parts_in(part) if latin in OF_THEIR_PART else frozenset(),
        level=level,
        groups=held,  # type: ignore[arg-type]  # a test holds the table to these words
        seen="read" if checked == "yes" else "" if "from memory" in source else "from memory",
        checked=checked == "yes",
        fresh_only=level == "care" and "fresh" in part,
        is_first=False,
        use="external only" if "external-only" in held else _use_of(what),
    )


def _use_of(what: str) -> Use | None:
    """What the reason itself says: no longer for internal use, or as medicine."""
    return "not internal" if "no longer" in what else None


def _latin_names(latin: str) -> tuple[tuple[Words, ...], frozenset[str], frozenset[str]]:
    """Species, whole genera and the parts meant, of a name as the table has it."""
    beside = re.findall(r"\(([^)]*)\)", latin)
    bare = re.sub(r"\([^)]*\)", "", latin)
    limit = parts_in(bare)
    species: list[Words] = []
    genera: set[str] = set()
    for one in (*bare.split(" / "), *beside):
        if parts := parts_in(one) if one in beside else frozenset():
            limit |= parts
            continue
        name = words(one)
        if len(name) == 1 and not genera and species:
            name = (name[0], *species[0][1:])
        elif len(name) == 1 or name[1] == "spp":
            genera.add(name[0])
            continue
        elif len(name[0]) == 1:
            name = (species[0][0], name[1])
        species.append(names.binomial(" ".join(name)) if "-" not in one else name[:3])
        genera |= {name[0]} if "allied species" in one else set()
    return tuple(species), frozenset(genera), limit


def _called(common: str) -> list[tuple[Words, frozenset[str]]]:
    """A common name whole, and without the part that is said in it."""
    whole = words(common)
    bare, part = split_part(whole)
    return [(whole, frozenset()), *([(bare, parts_in(part))] if part else [])]
