"""How much water a fresh herb contains, if the maker did not state it."""

import re
from functools import cache, lru_cache
from typing import Final, NamedTuple

from tracker.core.herbs.parts import GREEN, parts_in, split_part, with_like_parts
from tracker.core.herbs.spelling import Words, singular, words
from tracker.core.herbs.tables.moisture_table import MOISTURE

# Fresh herb of which nothing is published. Common practice, no source: leafy herbs are
# taken as three quarters water.
DEFAULT_PCT: Final = 75.0

# How far off, in points either way. A default may be anywhere in the published rows, which
# run from 55 (valerian root) to 95 (celery); a published row is a starting value, and two
# sources for dandelion lie 10 points apart.
DEFAULT_OFF_PCT: Final = 20.0
PUBLISHED_OFF_PCT: Final = 10.0


class Moisture(NamedTuple):
    """Water in a herb.

    Attributes:
        pct_mass: % of the fresh mass.
        off_pct: how far it may be off either way, in points.
        basis: where the number is from, for the maker.
        is_default: whether nothing is published of this plant and part.
    """

    pct_mass: float
    off_pct: float
    basis: str
    is_default: bool = False


class _Row(NamedTuple):
    """A row of the table, and the names it goes by."""

    latin: str
    part: str
    parts: frozenset[str]
    pct_mass: float


@lru_cache(maxsize=1024)
def fresh_moisture(herb: str, part: str | None) -> Moisture:
    """Water in a fresh herb by plant and part, else by plant, else a default.

    Args:
        herb: Latin name, synonym or English name; misspellings are not corrected here.
        part: the part used; None if it is not known.

    Returns:
        The published row of the same part, else of a like part (leaf and flower, root and
        rhizome), else of the whole plant. Where the part is not known the whole plant, else
        the wettest row, so that the extract is not taken for stronger than it is. A row of
        an unrelated part does not count: dock leaf is not dock root.

    Source:
        `moisture_table`, with the source of each row.
    """
    bare, part_said = split_part(words(herb))
    by_name = _by_name()
    rows = by_name.get(bare[:2]) or by_name.get(_english(bare)) or by_name.get(bare[:1], [])
    row = _row(rows, parts_in(part) or parts_in(part_said))
    if row is None:
        return Moisture(DEFAULT_PCT, DEFAULT_OFF_PCT, "default for fresh herb", is_default=True)
    return Moisture(row.pct_mass, PUBLISHED_OFF_PCT, f"published for {row.latin}, {row.part}")


def _english(name: Words) -> Words:
    """An English name as a key, so that no Latin one is taken for it."""
    return ("", singular("".join(name)))


@cache
def _by_name() -> dict[Words, list[_Row]]:
    """The rows by species, by genus where a row holds for one, and by English name."""
    rows: dict[Words, list[_Row]] = {}
    for latin, english, part, pct_mass, _ in MOISTURE:
        row = _Row(latin, part, parts_in(part), pct_mass)
        for name in (*_species(latin), _english(words(english))):
            rows.setdefault(name, []).append(row)
    return rows


def _species(latin: str) -> list[Words]:
    """The names in one: `Salvia rosmarinus (Rosmarinus officinalis)` has two."""
    found: list[Words] = []
    for one in re.split(r"[()/]", latin):
        name = words(one)
        if name[1:2] in (("spp",), ()):
            name = (found[0][0], *name) if found and name else name[:1]
        if name:
            found.append(name[:2])
    return found


def _row(rows: list[_Row], used: frozenset[str]) -> _Row | None:
    """The row that says most of the parts used; of several the wettest."""
    whole = [row for row in rows if "whole" in row.parts]
    if not used or "whole" in used:
        fitting = whole or rows
    else:
        fitting = (
            [row for row in rows if used & row.parts]
            or [row for row in rows if with_like_parts(used) & with_like_parts(row.parts)]
            or [row for row in rows if used & GREEN and row.parts & GREEN]
            or whole
        )
    return max(fitting, key=lambda row: row.pct_mass, default=None)
