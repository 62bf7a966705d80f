"""Which rows of the cautions tables a herb falls under, if any, and how surely."""

from collections.abc import Callable, Iterable, Iterator
from functools import cache
from typing import Literal, NamedTuple

from tracker.core.herbs import names
from tracker.core.herbs.caution_rows import CautionRow, rows
from tracker.core.herbs.parts import parts_in, split_part, touches, without_form
from tracker.core.herbs.spelling import Words, latin_slips, slips, spoken, words

# "named": it is this plant. "akin": another species of the same genus. "perhaps": a slip, a
# genus or an epithet alone, or a longer common name: it may be this plant.
Surely = Literal["named", "akin", "perhaps"]

# Common names that harmless plants have with a word before: eastern hemlock is a conifer,
# garden heliotrope an old name of valerian.
_SHARED = frozenset({("hemlock",), ("heliotrope",)})


class Match(NamedTuple):
    """A row a herb falls under, and how surely it is that plant."""

    row: CautionRow
    surely: Surely


@cache
def grave() -> tuple[CautionRow, ...]:
    """Every row that is more than care, the gravest first."""
    return tuple(
        sorted((one for one in rows() if one.level != "care"), key=lambda one: one.gravity)
    )


def match(herb: str, part: str | None = None, common: str | None = None) -> Match | None:
    """The gravest row a herb falls under; None if it falls under none."""
    return next(iter(matches(herb, part, common)), None)


def matches(herb: str, part: str | None = None, common: str | None = None) -> tuple[Match, ...]:
    """The rows a herb falls under, the gravest first; of those it may be, the nearest alone.

    Args:
        herb: as it stands in the book: Latin, a common name, right or with slips.
        part: the part used. A row that is limited to some parts holds for those, and where
            the part is not known.
        common: the common name beside it; asked only where the herb itself says nothing.
    """
    bare, part_said = split_part(words(herb))
    if not bare:
        return ()
    used = parts_in(part) or parts_in(part_said)
    if named := _named(herb, bare):
        return tuple(Match(one, "named") for one in named if touches(one.limit, used))
    found = [one for one in grave() if touches(one.limit, used)]
    spelt = (names.run_together(without_form(words(herb))), names.run_together(bare))
    if called := [one for one in found if any(_is_called(name, used, one) for name in spelt)]:
        return tuple(Match(one, "named") for one in _of_one_plant(called))
    if known := names.known(herb):
        genus = [one for one in found if any(bare == name[:1] for name in one.species)]
        return (Match(genus[0], "perhaps"),) if known.how == "genus" and genus else ()
    if (slip := _nearest(found, lambda one: _species_slips(bare, one))) is not None:
        return (Match(slip, "perhaps"),)
    if len(bare) > 1 and (kin := [one for one in found if bare[0] in one.kin]):
        return (Match(kin[0], "akin"),)
    joined = names.run_together(words(common or ""))
    if joined and (called := [one for one in found if _is_called(joined, used, one)]):
        return (Match(called[0], "perhaps"),)
    near = _nearest(found, lambda one: _other_slips(bare, used, one))
    return (Match(near, "perhaps"),) if near is not None else ()


def _named(herb: str, bare: Words) -> list[CautionRow]:
    """The rows of the species, by the name typed or by the accepted one.

    A row of the whole genus says nothing beside one of the species.
    """
    known = names.known(herb)
    accepted = known.plant if known is not None and known.how != "genus" else None
    latin = {bare, names.binomial(accepted.latin)} if accepted else {bare}
    species = [one for one in grave() if any(_is_species(name, one) for name in latin)]
    return species or [one for one in grave() if any(name[0] in one.genera for name in latin)]


def _is_species(bare: Words, row: CautionRow) -> bool:
    """Whether a species of the row stands anywhere in the name."""
    return any(
        bare[start : start + len(name)] == name
        for name in row.species
        for start in range(len(bare))
    )


def _of_one_plant(called: list[CautionRow]) -> list[CautionRow]:
    """Of rows called alike those of the first's plant, a row of whole genera left out."""
    single = [one for one in called if one.species] or called
    return [one for one in single if one.latin == single[0].latin]


def _is_called(typed: str, used: frozenset[str], row: CautionRow) -> bool:
    """Whether a name, run together, is one that the row goes by."""
    return any(
        typed == names.run_together(form) and touches(limit, used) for form, limit in row.called
    )


def _nearest(
    found: list[CautionRow], slips_in: Callable[[CautionRow], Iterable[int | None]]
) -> CautionRow | None:
    """The row to which the fewest slips lead, of several the gravest; None if none does."""
    near = {}
    for place, row in enumerate(found):
        far = [one for one in slips_in(row) if one is not None]
        if far:
            near[min(far), place] = row
    return near[min(near)] if near else None


def _species_slips(bare: Words, row: CautionRow) -> Iterator[int | None]:
    for name in row.species:
        yield latin_slips(bare, name)


def _other_slips(bare: Words, used: frozenset[str], row: CautionRow) -> Iterator[int | None]:
    """Slips in a genus or a common name; a genus or epithet alone, or a longer name, is one."""
    for genus in row.genera | row.kin:
        yield slips(bare[:1], (genus,))
    for name in row.species:
        yield slips(bare, name[:1])
        yield 1 if bare == name[1:] else None
    if row.level == "caution":
        return
    typed = spoken(" ".join(bare))
    for form, limit in row.called:
        if touches(limit, used):
            one = spoken(" ".join(form))
            yield slips(typed, one)
            longer = row.is_first and typed[-len(form) :] == one and form not in _SHARED
            yield 1 if longer else None
