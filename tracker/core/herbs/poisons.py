"""Which row of the cautions table a herb falls under, if any, and how surely."""

import re
from collections.abc import Callable, Iterable, Iterator
from functools import cache
from typing import Literal, NamedTuple

from tracker.core.herbs import names
from tracker.core.herbs.parts import parts_in, split_part, touches, without_form
from tracker.core.herbs.spelling import Words, latin_slips, slips, spoken, words
from tracker.core.herbs.tables.cautions_table import CAUTIONS, USES, Use

# "named": it is this plant. "akin": another species of the same genus. "perhaps": a slip, a
# genus or an epithet alone, or a longer common name: it may be this plant.
Surely = Literal["named", "akin", "perhaps"]

# Genera of which every species is handled with the same care. From memory of toxicology
# handbooks; the other rows hold for their own species alone, since Artemisia, Mentha or
# Juniperus are mostly harmless.
_WHOLE_GENUS = frozenset(
    {"aconitum", "adonis", "apocynum", "atropa", "colchicum", "conium", "convallaria"}
    | {"crotalaria", "datura", "delphinium", "gelsemium", "helleborus", "hyoscyamus"}
    | {"laburnum", "petasites", "phytolacca", "podophyllum", "symphytum", "taxus"}
)

# Other names that plants of the table go by, from memory.
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

# Common names that harmless plants have with a word before: eastern hemlock is a conifer,
# garden heliotrope an old name of valerian.
_SHARED = frozenset({("hemlock",), ("heliotrope",)})


class Poison(NamedTuple):
    """A row of the table, and the names it is known by.

    Attributes:
        latin, common, reason, basis: as published.
        species: each species, synonyms included.
        genera: those of which the row holds as a whole.
        kin: those whose other species are to be mistrusted.
        called: common names, with the parts each of them is limited to.
        limit: the parts the row is limited to; none for all.
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
    use: Use | None = None


class Match(NamedTuple):
    """A herb's row, and how surely it is that plant."""

    poison: Poison
    surely: Surely


@cache
def poisons() -> tuple[Poison, ...]:
    """Every row of the table, read."""
    return tuple(_read(*row[:4]) for row in CAUTIONS)


def _read(latin: str, common: str, reason: str, basis: str) -> Poison:
    species, genera, limit = _latin_names(latin)
    several = len([one for one in latin.split(" / ") if "spp." not in one]) > 1
    firsts = {one[0] for one in species}
    said = common.partition(" (")[0].split("/")
    for first, also in _ALSO.items():
        said += also if latin.startswith(first) else ()
    return Poison(
        latin,
        common,
        reason,
        basis,
        species,
        genera,
        frozenset(firsts if several else firsts & _WHOLE_GENUS),
        tuple(pair for one in said for pair in _called(one)),
        limit,
        USES.get(latin),
    )


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
        if len(name) == 1 and not genera:
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


def match(herb: str, part: str | None = None, common: str | None = None) -> Match | None:
    """The row a herb matches, the surest first; None if it matches none.

    Args:
        herb: as it stands in the book: Latin, a common name, right or with slips.
        part: the part used. A row that is limited to some parts holds for those, and where
            the part is not known.
        common: the common name beside it; asked only where the herb itself says nothing.
    """
    bare, part_said = split_part(words(herb))
    if not bare:
        return None
    used = parts_in(part) or parts_in(part_said)
    if rows := [one for one in poisons() if _is_species(bare, one)]:
        return next((Match(one, "named") for one in rows if touches(one.limit, used)), None)
    rows = [one for one in poisons() if touches(one.limit, used)]
    spelt = (names.run_together(without_form(words(herb))), names.run_together(bare))
    for one in rows:
        if any(_is_called(name, used, one) for name in spelt):
            return Match(one, "named")
    if names.known(herb):
        return None
    if (slip := _nearest(rows, lambda one: _species_slips(bare, one))) is not None:
        return Match(slip, "perhaps")
    if len(bare) > 1 and (kin := next((one for one in rows if bare[0] in one.kin), None)):
        return Match(kin, "akin")
    joined = names.run_together(words(common or ""))
    if joined and (called := [one for one in rows if _is_called(joined, used, one)]):
        return Match(called[0], "perhaps")
    near = _nearest(rows, lambda one: _other_slips(bare, used, one))
    return Match(near, "perhaps") if near is not None else None


def _is_species(bare: Words, poison: Poison) -> bool:
    """Whether a species stands anywhere in the name, or a genus listed whole begins it."""
    return bare[0] in poison.genera or any(
        bare[start : start + len(name)] == name
        for name in poison.species
        for start in range(len(bare))
    )


def _is_called(typed: str, used: frozenset[str], poison: Poison) -> bool:
    """Whether a name, run together, is one that the row goes by."""
    return any(
        typed == names.run_together(form) and touches(limit, used) for form, limit in poison.called
    )


def _nearest(
    rows: list[Poison], slips_in: Callable[[Poison], Iterable[int | None]]
) -> Poison | None:
    """The row to which the fewest slips lead; None if none does."""
    near = {}
    for place, row in enumerate(rows):
        found = [far for far in slips_in(row) if far is not None]
        if found:
            near[min(found), place] = row
    return near[min(near)] if near else None


def _species_slips(bare: Words, poison: Poison) -> Iterator[int | None]:
    for name in poison.species:
        yield latin_slips(bare, name)


def _other_slips(bare: Words, used: frozenset[str], poison: Poison) -> Iterator[int | None]:
    """Slips in a genus or a common name; a genus or epithet alone, or a longer name, is one."""
    for genus in poison.genera | poison.kin:
        yield slips(bare[:1], (genus,))
    for name in poison.species:
        yield slips(bare, name[:1])
        yield 1 if bare == name[1:] else None
    typed = spoken(" ".join(bare))
    for form, limit in poison.called:
        if touches(limit, used):
            one = spoken(" ".join(form))
            yield slips(typed, one)
            longer = typed[-len(form) :] == one and form not in _SHARED
            yield 1 if longer else None
