"""What to be careful of in a jar: the plant, fire, the lid, wet herb in oil, and handling."""

import re
from collections.abc import Iterator
from functools import lru_cache
from typing import Final, Literal, NamedTuple

from tracker.core.herbs import names
from tracker.core.herbs.poisons import match
from tracker.core.herbs.tables.care_table import CARE
from tracker.core.herbs.tables.cautions_table import Use
from tracker.core.menstruum.fire import UNCERTAINTY_C, flash_point_c
from tracker.core.reckoning.amounts import simple_strength_pct_vol
from tracker.core.reckoning.lids import lid_in_doubt
from tracker.core.shelf.contents import Contents
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Batch

Kind = Literal["plant", "fire", "lid", "wet", "care"]

# Said once below the cautions wherever one of them is about the plant.
CLOSING: Final = "Ask a licensed practitioner or pharmacist; local law decides."

# Below this flash point a liquid counts as highly flammable: Globally Harmonized System of
# Classification and Labelling of Chemicals, chapter 2.6, category 2 (from memory).
HIGHLY_FLAMMABLE_BELOW_C: Final = 23.0

# A herb with more water than this is wet, whatever it is called. From memory: air-dry herbs
# stay under 15 % water.
_WET_ABOVE_PCT = 15.0

# Doses in the basis of a row: they are left out.
_DOSE = re.compile(r"(?:\w+ )?MD [\d.]+ m?g / MDD [\d.]+ m?g(?: \(\w+\))?(?:; (?=\w+ MD))?")
_SURELY = {"named": "", "akin": "of the same genus as ", "perhaps": "if this is "}


class Caution(NamedTuple):
    """One thing to be careful of, in words without a full stop.

    Attributes:
        text: what to heed.
        herb: the plant it is about, as the table has it.
        source: the legal or published basis, without any dose.
        do: what to do about it.
        use: what the plant must not be used for.
    """

    kind: Kind
    text: str
    herb: str | None = None
    source: str | None = None
    do: str | None = None
    use: Use | None = None


def cautions(batch: Batch, made: Contents | None = None) -> tuple[Caution, ...]:
    """What a jar or a blend asks care for, herb by herb, the gravest first; handling notes last.

    Not exhaustive, and no legal or medical advice. `made` is what is in an extract or bottle
    of it, where something else may have gone in since.

    Source:
        `cautions_table` and `care_table`; flash points as `menstruum.fire` has them; lid and
        wet herb: common practice.
    """
    herbs = _herbs(batch, made or batch.contents)
    found = (
        *(one for herb, part, common, _ in herbs for one in _plant(herb, part, common)),
        *_fire(batch),
        *(_lid(batch) if isinstance(batch, Jar) else ()),
        *_wet(made or batch.contents),
        *(one for herb, _, _, form in herbs for one in care(herb, form)),
    )
    return tuple(dict.fromkeys(found))


def _herbs(batch: Batch, made: Contents) -> list[tuple[str, str | None, str | None, str]]:
    """Each herb with its part, form, and the common name where it is the jar's own."""
    herbs = dict.fromkeys((one.herb, one.part, one.form) for one in made.herbs)
    if not herbs:
        return [(batch.herb, batch.part, batch.common, batch.form)]
    return [
        (herb, part, batch.common if herb == batch.herb else None, form)
        for herb, part, form in herbs
    ]


@lru_cache(maxsize=1024)
def _plant(herb: str, part: str | None, common: str | None) -> tuple[Caution, ...]:
    found = match(herb, part, common)
    if found is None:
        return ()
    row = found.poison
    source = re.sub(r"(dose limits)+", "dose limits", _DOSE.sub("dose limits", row.basis))
    text = f"{_SURELY[found.surely]}{row.latin}, {row.common}: {row.reason}"
    return (Caution("plant", text, row.latin, source, use=row.use),)


def _fire(batch: Batch) -> Iterator[Caution]:
    """By the strongest spirit poured: that is the one in the open vessel.

    A blend is poured of extracts; what they were made of stood open long before, and counts
    only where a part of it is of unknown strength.
    """
    if isinstance(batch, Jar):
        strongest = max((pour.ethanol_pct_vol for pour in batch.pours), default=0.0)
    else:
        simple = simple_strength_pct_vol(batch.contents)
        made = (pour.ethanol_pct_vol for pour in batch.contents.pours)
        strongest = max(made, default=0.0) if simple is None else round(simple, 1)
    flash_c = flash_point_c(strongest)
    if flash_c is not None and flash_c < HIGHLY_FLAMMABLE_BELOW_C:
        near = f"from about {flash_c:.0f} °C (give or take {UNCERTAINTY_C:.0f})"
        yield Caution(
            "fire",
            f"fire: the vapour of {strongest:g} % vol spirit catches {near}: "
            "no flame, hot plate or spark near it",
        )


def _lid(jar: Jar) -> Iterator[Caution]:
    state = lid_in_doubt(jar) if jar.is_macerating else None
    if state == "bare":
        text = "bare metal lid: spirit and vinegar eat it"
        yield Caution("lid", text, do="put a barrier under it")
    elif state == "unknown":
        under = f", {jar.barrier} under it" if jar.barrier else ""
        text = f"whether the lid ({jar.lid}{under}) is bare metal is not known"
        yield Caution("lid", text, do="say what it is of")


def _wet(made: Contents) -> Iterator[Caution]:
    """Mould and botulism need water and find it under oil: food safety advice, from memory."""
    is_wet = any(
        one.form == "fresh" if one.water_pct_mass is None else one.water_pct_mass > _WET_ABOVE_PCT
        for one in made.herbs
    )
    if is_wet and any(pour.liquid == "oil" for pour in made.pours):
        text = "wet herb in oil: its water can spoil it, botulism included, unseen"
        yield Caution("wet", text, do="wilt or dry the herb first")


def care(herb: str, form: str) -> Iterator[Caution]:
    """The handling note of a plant, if it has one; for fresh herb alone where it says so."""
    found = names.find(herb)
    if found is None or found.plant is None:
        return
    note = dict(CARE).get(found.plant.latin)
    if note is not None and (form == "fresh" or "when fresh" not in note):
        yield Caution("care", note, herb=found.plant.latin)
