"""Which plant a typed name means, and the part it names."""

from functools import cache, lru_cache
from typing import Literal, NamedTuple

from tracker.core.herbs.parts import split_part, without_form
from tracker.core.herbs.spelling import Words, latin_slips, singular, slips, spoken, words
from tracker.core.herbs.tables.part_names_table import ALSO_CALLED
from tracker.core.herbs.tables.plants_table import PLANTS

How = Literal["latin", "synonym", "common", "genus", "near"]


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
    part: dict[str, str]


@cache
def plants() -> tuple[Plant, ...]:
    """Every plant of the table."""
    return tuple(Plant(*row[:3], _bare(row[3]), *row[4:]) for row in PLANTS)


def _bare(common: str) -> str:
    return common.partition(" (")[0]


@cache
def _index() -> _Index:
    index = _Index({}, {}, {}, {}, {})
    for plant in plants():
        latin = binomial(plant.latin)
        index.latin[latin] = plant
        index.genus.setdefault(latin[0], []).append(plant)
        index.common.setdefault(run_together(words(plant.common)), []).append(plant)
        if plant.synonym:
            index.synonym[binomial(plant.synonym)] = plant
    for also, meant, part in ALSO_CALLED:
        index.common[also] = [index.latin[binomial(meant)]]
        if part is not None:
            index.part[also] = part
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
            implied = index.part.get(run_together(one))
            return PlantsMeant(tuple(fits), "common", its_part or implied)
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
        found.append(1 if bare == synonym[:1] else None)
        epithets.append(synonym[1:])
    if bare in epithets or typed == common[-len(typed) :]:
        found.append(1)
    return min((far for far in found if far is not None), default=None)
