"""All that the tables ask care for of one herb, each thing once, the gravest first."""

import re
from collections.abc import Iterable, Iterator
from functools import lru_cache
from typing import NamedTuple

from tracker.core.herbs.care_notes import Note, notes, of_family
from tracker.core.herbs.names import find
from tracker.core.herbs.poisons import Match, matches
from tracker.core.herbs.tables.cautions_table import Use
from tracker.core.herbs.tables.more_cautions_table import Group, Level

# Doses in the basis of a row: they are left out.
_DOSE = re.compile(r"(?:\w+ )?MD [\d.]+ m?g / MDD [\d.]+ m?g(?: \(\w+\))?(?:; (?=\w+ MD))?")
_SURELY = {"named": "", "akin": "of the same genus as ", "perhaps": "if this is "}
_EXTERNAL = "external use only"


class PlantCaution(NamedTuple):
    """One thing the tables say of a herb, without a full stop.

    Attributes:
        latin: the plant it is about, as its table has it.
        text: what to heed; of what is more than care with the plant's name before it.
        is_guess: whether the herb may be another plant.
    """

    latin: str
    text: str
    level: Level
    groups: tuple[Group, ...]
    source: str
    seen: str
    checked: bool
    use: Use | None = None
    is_guess: bool = False


@lru_cache(maxsize=1024)
def plant_cautions(
    herb: str, part: str | None, common: str | None, form: str
) -> tuple[PlantCaution, ...]:
    """What the tables say of a herb; nothing where they have neither plant, genus nor family."""
    found = matches(herb, part, common)
    beside = list(notes(herb, part, form))
    if beside and found and all(one.surely == "named" for one in found):
        every = [_together(found[0], beside), *map(_of_row, found[1:])]
    else:
        every = [*map(_of_row, found), *_of_notes(beside)]
    return (*every, *_of_family(herb, every))


def harm(herb: str, part: str | None, common: str | None, form: str) -> PlantCaution | None:
    """The gravest of them, where it is a poison or the law limits it; else None."""
    every = plant_cautions(herb, part, common, form)
    grave = [one for one in every if one.level in ("poison", "restricted")]
    return grave[0] if grave else None


def is_unknown(herb: str, part: str | None, common: str | None, form: str) -> bool:
    """Whether no table has the plant, its genus or its family, nor a name near to it."""
    return find(herb) is None and not plant_cautions(herb, part, common, form)


def _of_row(found: Match) -> PlantCaution:
    row = found.row
    name = f"{row.latin}, {row.common}" if row.common else row.latin
    return PlantCaution(
        row.latin,
        f"{_SURELY[found.surely]}{name}: {row.reason}",
        row.level,
        row.groups,
        re.sub(r"(dose limits)+", "dose limits", _DOSE.sub("dose limits", row.basis)),
        row.seen,
        row.checked,
        row.use,
        found.surely != "named",
    )


def _together(found: Match, beside: list[Note]) -> PlantCaution:
    """A row and the handling notes of the same plant as one, nothing said twice."""
    row = _of_row(found)
    return row._replace(
        text=_joined([*(one.text for one in beside), found.row.reason], row.text),
        groups=tuple(dict.fromkeys([*row.groups, *(g for one in beside for g in one.groups)])),
        source="; ".join(dict.fromkeys([row.source, *(one.source for one in beside)])),
        checked=row.checked and all(one.checked for one in beside),
        seen=row.seen if all(one.checked for one in beside) else "in part from memory",
    )


def _joined(texts: Iterable[str], named: str) -> str:
    """The clauses of several texts, each once, behind the name of the plant."""
    name, _, reason = named.partition(": ")
    clauses = [*reason.split("; "), *(one for text in texts for one in text.split("; "))]
    return f"{name}: {'; '.join(dict.fromkeys(clauses))}"


def _of_notes(found: list[Note]) -> Iterator[PlantCaution]:
    """Notes as they are said: by themselves, or with the plant's name where they are grave."""
    for one in found:
        guess = f"if this is {one.latin}: " if one.perhaps else ""
        name = f"{one.latin}: " if one.level != "care" and not guess else ""
        yield PlantCaution(
            one.latin,
            f"{guess}{name}{one.text}",
            one.level,
            one.groups,
            one.source,
            "read" if one.checked else "",
            one.checked,
            "external only" if _EXTERNAL in one.text else None,
            one.perhaps,
        )


def _of_family(herb: str, said: Iterable[PlantCaution]) -> Iterator[PlantCaution]:
    """What holds for the whole family, unless it is said of the plant already.

    Of a poisonous plant nothing is said about poisonous plants that it is mistaken for.
    """
    found = of_family(herb)
    if found is None:
        return
    name, row = found
    own = [one for one in said if not one.is_guess]
    groups = {group for one in own for group in one.groups}
    is_said = groups.issuperset(row.groups)
    is_poison = any(one.level == "poison" for one in own)
    if is_said or ("light" in row.groups and is_poison):
        return
    wild = "wild plants: " if row.latin.startswith("Apiaceae") else ""
    yield PlantCaution(
        name, f"{wild}{row.reason}", row.level, row.groups, row.basis, row.seen, row.checked
    )
