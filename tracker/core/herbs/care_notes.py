"""How to handle a herb: the milder notes of its plant, and what holds for its whole family."""

from collections.abc import Iterator
from functools import cache
from typing import NamedTuple

from tracker.core.herbs import names
from tracker.core.herbs.caution_rows import CautionRow, families, rows
from tracker.core.herbs.parts import parts_in, split_part, touches
from tracker.core.herbs.spelling import Words, words
from tracker.core.herbs.tables.care_table import CARE
from tracker.core.herbs.tables.caution_corrections_table import (
    CARE_GROUPS,
    CARE_LEVELS,
    CARE_MORE,
)
from tracker.core.herbs.tables.more_cautions_table import Group, Level

# The basis of the handling notes, as their table names it.
FROM_MEMORY = "standard herbals and monographs: from memory"


class Note(NamedTuple):
    """A note of a plant: its name, what it says, how grave that is, and where it is from."""

    latin: str
    text: str
    level: Level
    groups: tuple[Group, ...]
    source: str
    checked: bool = False
    perhaps: bool = False


def notes(herb: str, part: str | None, form: str) -> Iterator[Note]:
    """The notes of a plant; for fresh herb alone where they say so.

    Of a genus alone that several plants share, the first note of any of them, as a guess.
    """
    found = _meant(herb)
    if found is not None and found.plant is None and found.how == "genus":
        every = [one for plant in found.plants for one in _of(plant.latin, part, form)]
        yield from (one._replace(perhaps=True) for one in every[:1])
        return
    yield from _of(found.plant.latin if found and found.plant else herb, part, form)


def _of(latin: str, part: str | None, form: str) -> Iterator[Note]:
    note = _usual().get(latin)
    if note is not None and (form == "fresh" or "when fresh" not in note):
        text = "; ".join(one for one in (note, CARE_MORE.get(latin)) if one)
        level = CARE_LEVELS.get(latin, "care")
        yield Note(latin, text, level, CARE_GROUPS.get(latin, ()), FROM_MEMORY)
    bare, said = split_part(words(latin))
    used = parts_in(part) or parts_in(said)
    for row in _by_name().get(bare[:2], _by_name().get(bare[:3], ())):
        if touches(row.limit, used) and (form == "fresh" or not row.fresh_only):
            yield Note(row.latin, row.reason, row.level, row.groups, row.basis, row.checked)


def _meant(herb: str) -> names.PlantsMeant | None:
    """The plants a name means; none by a slip where a row goes by just that name."""
    found = names.find(herb)
    bare = split_part(words(herb))[0]
    is_slip = found is not None and found.how == "near"
    return None if is_slip and (bare[:2] in _by_name() or bare[:3] in _by_name()) else found


@cache
def _usual() -> dict[str, str]:
    return dict(CARE)


@cache
def _by_name() -> dict[Words, tuple[CautionRow, ...]]:
    """The milder rows by species, and by the common names they go by."""
    found: dict[Words, tuple[CautionRow, ...]] = {}
    for row in rows():
        if row.level == "care":
            for name in (*row.species, *(form for form, _ in row.called)):
                found[name] = (*found.get(name, ()), row)
    return found


def of_family(herb: str) -> tuple[str, CautionRow] | None:
    """The plant as it is written, and the row of its family; None where that says nothing.

    A plant that is in no table is of the family of its genus, where that is known.
    """
    found = _meant(herb)
    if found is not None:
        family = {plant.family for plant in found.plants}
        name = found.plant.latin if found.plant else herb
    else:
        family, name = _families_of_genera().get(words(herb)[:1], set()), herb
    row = families().get(next(iter(family))) if len(family) == 1 else None
    return None if row is None else (name, row)


@cache
def _families_of_genera() -> dict[Words, set[str]]:
    found: dict[Words, set[str]] = {}
    for plant in names.plants():
        for name in (plant.latin, plant.synonym):
            if name:
                found.setdefault(words(name)[:1], set()).add(plant.family)
    return found
