"""How a typed name of a herb is written down, and what the maker is told about it."""

from typing import NamedTuple

from tracker.core.herbs.names import Plant, PlantsMeant, binomial, find
from tracker.core.herbs.parts import parts_in, split_part, touches, without_form
from tracker.core.herbs.poisons import match
from tracker.core.herbs.spelling import words
from tracker.core.values.text import is_plain


class Named(NamedTuple):
    """A herb as it is to be written down, and what to tell the maker about it.

    Attributes:
        herb, common, part: for the book.
        say: a sentence for the maker; empty where nothing was completed.
        meant: how it is written down if the nearest plant was meant; None if there is no
            doubt or no guess. The name stays as typed until the maker confirms.
        part_named: the part that the name itself says.
    """

    herb: str
    common: str | None
    part: str | None
    say: str = ""
    meant: "Named | None" = None
    part_named: str | None = None


def named(typed: str, *, common: str | None = None, part: str | None = None) -> Named:
    """A herb as it is to be written down.

    A Latin name stays as it was typed, its capitals set right; a common name or a genus of
    one plant is completed, and the maker is told; anything else stays, but for the part
    behind it.

    Args:
        typed: what the maker called it.
        common: the common name, where the maker said one.
        part: the part used, where the maker said it apart.
    """
    found = find(typed) if is_plain(typed) else None
    if found is None:
        return _without_part(typed, common) if part is None else Named(typed, common, part)
    plant, part_said = found.plant, ""
    if plant is None:
        return Named(typed, common, part, _several(typed, found.plants))
    if found.how == "genus" and (other := _harmful_kin(typed, plant)):
        may_be = f"{plant.latin} {plant.author} or {other}"
        return Named(typed, common, part, f"{typed}, kept as typed, may be {may_be}")
    if found.part and not part:
        part, part_said = found.part, f"; part: {found.part}"
    full = plant.full + part_said
    if found.how == "near":
        meant = Named(plant.latin, common or plant.common, part, full, part_named=found.part)
        say = f"{typed}: not a known name, kept as typed; the nearest is {full}"
        return Named(typed, common, None if part_said else part, say, meant)
    herb = _as_written(typed, plant, found)
    if found.how == "synonym":
        say = f"{herb}, kept as typed, is {full}"
    elif found.how == "latin" and _is_in_full(typed, plant):
        say = ""
    else:
        say = f"{typed} taken as {full}"
    return Named(herb, common or plant.common, part, say, part_named=found.part)


def contradicts(one: Named, part: str | None) -> bool:
    """Whether the part said apart is another one than the name itself says."""
    return not touches(parts_in(one.part_named), parts_in(part))


def _without_part(typed: str, common: str | None) -> Named:
    """A name that is in no table: the part behind it is written apart."""
    name = without_form(words(typed)) if is_plain(typed) else ()
    bare, part = split_part(name) if name else ((), None)
    tokens = typed.split()
    if part is None or len(tokens) != len(words(typed)):
        return Named(typed, common, None)
    first = len(tokens) - len(name)
    herb = " ".join(tokens[first : first + len(bare)])
    say = f"{typed} taken as {herb}; part: {part}"
    return Named(herb, common, part, say, part_named=part)


def _harmful_kin(genus: str, plant: Plant) -> str | None:
    """Another species of a genus alone that is harmful, where the table has one plant of it."""
    found = match(genus)
    if found is None or binomial(plant.latin) in found.row.species:
        return None
    return found.row.latin


def _several(typed: str, fits: tuple[Plant, ...]) -> str:
    names = " or ".join(f"{plant.latin} {plant.author}" for plant in fits[:4])
    more = " or others" if len(fits) > 4 else ""
    return f"{typed}, kept as typed, may be {names}{more}"


def _is_in_full(typed: str, plant: Plant) -> bool:
    """Whether just the Latin name was typed, so that there is nothing to say of it."""
    return typed.casefold() in (plant.latin.casefold(), f"{plant.latin} {plant.author}".casefold())


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
