"""What things are called on the page, and the id that a link to each ends in."""

import unicodedata
from collections.abc import Iterable, Sequence
from functools import lru_cache

import msgspec
from msgspec.structs import replace

from tracker.core.practice.practice import PlantNames
from tracker.core.shelf.thing import Batch, Thing, things
from tracker.outputs.view.made import HerbView, herbs_of
from tracker.outputs.words.latin_names import Runs, is_latin, latin_runs
from tracker.outputs.words.plant_names import called_in_a_list, plant_called

# What the sections are called in an address; no jar's code takes one of these from them.
SECTIONS = (
    "what-is-due",
    "with-herb-in",
    "in-stock",
    "the-season",
    "herb-by-herb",
    "done-with",
)
# Whose charge, and which code of it: two things may have come to one code.
Anchors = dict[tuple[str, str], str]


class PlantOnPage(msgspec.Struct, frozen=True):
    """A plant of a name, in runs of upright and italic letters.

    Attributes:
        called: what its maker calls it.
        rest: the part, where the name does not say it, and the form.
        latin: its Latin name; empty where it is called so, or has none.
    """

    called: Runs
    rest: str
    latin: Runs

    @property
    def name(self) -> str:
        """What its maker calls it, as plain text."""
        return "".join(text for text, _ in self.called)


class PageName(msgspec.Struct, frozen=True):
    """A code, the id that a link to it ends in, and each plant with its part and form."""

    code: str
    anchor: str
    plants: tuple[PlantOnPage, ...]

    @property
    def latin(self) -> tuple[Runs, ...]:
        """Each Latin name that is said beside what the plants are called."""
        return tuple(dict.fromkeys(one.latin for one in self.plants if one.latin))


def anchors_of(batches: Iterable[Batch], taken: Iterable[str]) -> Anchors:
    """The id of each thing on the page: its code, without blanks, which no id has."""
    anchors: Anchors = {}
    used = set(taken)
    for batch in batches:
        for thing in things(batch):
            wanted = anchor = "_".join(thing.code.split())
            number = 1
            while anchor in used:
                number += 1
                anchor = f"{wanted}_{number}"
            used.add(anchor)
            anchors[batch.id, thing.code] = anchor
    return anchors


def page_name(thing: Thing, anchors: Anchors, names: PlantNames) -> PageName:
    """What a thing is called, and where on the page it stands."""
    plants = plants_called(herbs_of(thing.batch, thing.made), names)
    return PageName(thing.code, anchors[thing.batch.id, thing.code], plants)


def plants_called(herbs: Sequence[HerbView], names: PlantNames) -> tuple[PlantOnPage, ...]:
    """Each plant, the heaviest first; part and form are said once where all have the same."""
    each = [_plant(one.herb, one.common, one.part, one.form, names) for one in herbs]
    if len({(one.part, one.form) for one in herbs}) > 1:
        return tuple(each)
    once = list(dict.fromkeys(each))
    return (*(replace(one, rest="") for one in once[:-1]), once[-1])


def plant_alone(herb: HerbView, names: PlantNames) -> PlantOnPage:
    """A plant without part and form, which its jars may not share."""
    return replace(_plant(herb.herb, herb.common, herb.part, herb.form, names), rest="")


@lru_cache(maxsize=1024)  # a shelf holds many jars of few plants
def _plant(
    herb: str, common: str | None, part: str | None, form: str, names: PlantNames
) -> PlantOnPage:
    view = HerbView(herb, form, part, common, None, "")
    said: PlantNames = "latin" if names == "latin" else "common"  # the Latin stands beside it
    plant = plant_called(view, said)
    rest = f"{called_in_a_list([view], said).removeprefix(plant)}, {form}"
    if plant == herb:
        return PlantOnPage(latin_runs(herb), rest, ())
    return PlantOnPage(((plant, False),), rest, latin_runs(herb) if is_latin(herb) else ())


def letter_of(name: str) -> str:
    """The letter a name stands under, without its accents; of what begins with none, a sign."""
    first = unicodedata.normalize("NFKD", name.strip()[:1])[:1].upper()[:1]
    return first if first.isalpha() else "#"


def in_order_of_names(name: str) -> tuple[str, str]:
    """What a name is sorted by: accents and capitals make no difference between letters."""
    parted = unicodedata.normalize("NFKD", name)
    return "".join(one for one in parted if not unicodedata.combining(one)).casefold(), name
