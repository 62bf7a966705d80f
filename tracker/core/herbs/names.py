"""Which plant a typed name means, and how it is written down."""

from functools import cache, lru_cache
from typing import Literal, NamedTuple

from tracker.core.herbs.parts import split_part, without_form
from tracker.core.herbs.spelling import Words, latin_slips, singular, slips, spoken, words
from tracker.core.herbs.tables.plants_table import PLANTS
from tracker.core.values.text import is_plain

How = Literal["latin", "synonym", "common", "genus", "near"]

# Other common names of plants in the table, from memory; those that only one plant bears.
_ALSO: dict[str, str] = {
    "licorice": "Glycyrrhiza glabra",
    "nettle": "Urtica dioica",
    "mullein": "Verbascum thapsus",
    "elderflower": "Sambucus nigra",
    "elderberry": "Sambucus nigra",
}


class Plant(NamedTuple):
    """A plant of the names table."""

    latin: str
    author: str
    family: str
    common: str
    parts: str
    synonym: str

    @property
    def full(self) -> str:
        """`Calendula officinalis L., marigold, Asteraceae`."""
        return f"{self.latin} {self.author}, {self.common}, {self.family}"


class PlantsMeant(NamedTuple):
    """The plants a typed name fits equally well, by what, and the part named beside it."""

    plants: tuple[Plant, ...]
    how: How
    part: str | None = None

    @property
    def plant(self) -> Plant | None:
        """The plant, where it is only one."""
        return self.plants[0] if len(self.plants) == 1 else None


class Named(NamedTuple):
    """A herb as it is to be written down, and what to tell the maker about it.

    Attributes:
        herb, common, part: for the book.
        say: a sentence for the maker; empty where nothing was completed.
        meant: how it is written down if the nearest plant was meant; None if there is no
            doubt or no guess. The name stays as typed until the maker confirms.
    """

    herb: str
    common: str | None
    part: str | None
    say: str = ""
    meant: "Named | None" = None


def binomial(text: str) -> Words:
    """The words of genus and species, of a name that may have its author behind."""
    count = 2 + ("-" in text.replace(" x ", " ").split()[1])
    return words(text)[:count]


class _Index(NamedTuple):
    """The plants by each of their names."""

    latin: dict[Words, Plant]
    synonym: dict[Words, Plant]
    common: dict[str, list[Plant]]
    genus: dict[str, list[Plant]]


@cache
def plants() -> tuple[Plant, ...]:
    """Every plant of the table."""
    return tuple(Plant(*row[:3], _bare(row[3]), *row[4:]) for row in PLANTS)


def _bare(common: str) -> str:
    return common.partition(" (")[0]


@cache
def _index() -> _Index:
    index = _Index({}, {}, {}, {})
    for plant in plants():
        latin = binomial(plant.latin)
        index.latin[latin] = plant
        index.genus.setdefault(latin[0], []).append(plant)
        index.common.setdefault(run_together(words(plant.common)), []).append(plant)
        if plant.synonym:
            index.synonym[binomial(plant.synonym)] = plant
    for also, meant in _ALSO.items():
        index.common[also] = [index.latin[binomial(meant)]]
    return index


def known(text: str) -> PlantsMeant | None:
    """The plants a name says without a slip: Latin, synonym, common name, or genus alone."""
    name = without_form(words(text))
    index = _index()
    bare, part = split_part(name)
    for count in (2, 3):
        if plant := index.latin.get(bare[:count]):
            return PlantsMeant((plant,), "latin", part)
        if plant := index.synonym.get(bare[:count]):
            return PlantsMeant((plant,), "synonym", part)
    for one, its_part in ((name, None), (bare, part)):
        if fits := index.common.get(run_together(one)):
            return PlantsMeant(tuple(fits), "common", its_part)
    if len(bare) == 1 and (fits := index.genus.get(bare[0])):
        return PlantsMeant(tuple(fits), "genus", part)
    return None


@lru_cache(maxsize=2048)
def run_together(name: Words) -> str:
    """A common name without its gaps, in the singular: `passion flowers` is passionflower."""
    return singular("".join(name))


@lru_cache(maxsize=256)
def find(text: str) -> PlantsMeant | None:
    """The plants a name says, or those nearest to it where it has slips; None if none are.

    Args:
        text: Latin, with or without its author, a common name or the end of one, a genus or
            an epithet alone; with or without the part behind it.
    """
    if found := known(text):
        return found
    bare, part = split_part(words(text))
    if not bare:
        return None
    near = {plant: far for plant in plants() if (far := _distance(bare, plant)) is not None}
    least = min(near.values(), default=None)
    fits = tuple(plant for plant, far in near.items() if far == least)
    return PlantsMeant(fits, "near", part) if fits else None


def _distance(bare: Words, plant: Plant) -> int | None:
    """The slips between what was typed and the nearest name of a plant."""
    latin, common = binomial(plant.latin), spoken(plant.common)
    typed = spoken(" ".join(bare))
    found = [latin_slips(bare, latin), slips(bare, latin[:1]), slips(typed, common)]
    epithets = [latin[1:]]
    if plant.synonym:
        synonym = binomial(plant.synonym)
        found.append(latin_slips(bare, synonym))
        epithets.append(synonym[1:])
    if bare in epithets or typed == common[-len(typed) :]:
        found.append(1)
    return min((far for far in found if far is not None), default=None)


def named(typed: str, *, common: str | None = None, part: str | None = None) -> Named:
    """A herb as it is to be written down.

    A Latin name stays as it was typed, its capitals set right; a common name or a genus of
    one plant is completed, and the maker is told; anything else stays.

    Args:
        typed: what the maker called it.
        common: the common name, where the maker said one.
        part: the part used, where the maker said it apart.
    """
    found = find(typed) if is_plain(typed) else None
    if found is None:
        return Named(typed, common, part)
    plant, part_said = found.plant, ""
    if plant is None:
        return Named(typed, common, part, _several(typed, found.plants))
    if found.part and not part:
        part, part_said = found.part, f"; part: {found.part}"
    full = plant.full + part_said
    if found.how == "near":
        meant = Named(plant.latin, common or plant.common, part, full)
        say = f"{typed}: not a known name, kept as typed; the nearest is {full}"
        return Named(typed, common, None if part_said else part, say, meant)
    herb = _as_written(typed, plant, found)
    say = {"latin": full, "synonym": f"{herb}, kept as typed, is {full}"}.get(
        found.how, f"{typed} taken as {full}"
    )
    return Named(herb, common or plant.common, part, say)


def _several(typed: str, fits: tuple[Plant, ...]) -> str:
    names = " or ".join(f"{plant.latin} {plant.author}" for plant in fits[:4])
    more = " or others" if len(fits) > 4 else ""
    return f"{typed}, kept as typed, may be {names}{more}"


def _as_written(typed: str, plant: Plant, found: PlantsMeant) -> str:
    """The Latin name for the book: the one that was typed, its capitals set right."""
    printed = f"{plant.latin} {plant.author}"
    if found.how == "synonym":
        printed = plant.synonym
    latin = binomial(printed)
    name, _ = split_part(words(typed))
    behind = name[len(latin) :]
    if found.how in ("common", "genus") or behind in ((), words(printed)[len(latin) :]):
        kept = printed.split()[: 3 if " x " in printed else 2]
        return " ".join(kept).replace(" x ", " × " if "×" in typed else " x ")
    tokens = typed.split()
    if len(words(typed)) != len(tokens):
        return typed
    lead = words(typed).index(name[0])
    genus, *rest = tokens[lead : lead + len(name)]
    return " ".join([genus.capitalize(), rest[0].lower(), *rest[1:]])
