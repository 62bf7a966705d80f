"""What could hurt somebody: a poisonous herb is asked about, a restricted one warned of.

The tables of plants load slowly, so they are read only where a fact has a herb.
"""

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from tracker.core.facts.fields import HerbFact
from tracker.core.facts.jars import Found
from tracker.core.facts.lots import BoughtHerb, Gathered
from tracker.core.rules.verdict import Finding
from tracker.core.shelf.contents import Contents
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Thing

if TYPE_CHECKING:
    from tracker.core.herbs.plant_cautions import PlantCaution

WithHerb = HerbFact | Found | Gathered | BoughtHerb
_DO = "check which plant it is, and what local rules and a licensed practitioner say"


def of_herb(fact: WithHerb, code: str) -> Iterator[Finding]:
    """Ask about a poisonous herb, and say of a restricted one that local law decides."""
    from tracker.core.herbs.plant_cautions import harm

    found = harm(fact.herb, fact.part, fact.common, fact.form)
    if found is None:
        return
    if found.level == "poison":
        yield Finding("harm", code, _poisonous(found), _DO, "question")
    else:
        limited = "a law or regulator limits it somewhere, and local law decides"
        yield Finding("harm", code, f"{found.latin}: {limited}", weight="warning")


def poured_together(
    code: str, things: Iterable[Thing | Lot], into: Contents | None = None
) -> Iterator[Finding]:
    """Ask where a poisonous herb comes to something that has none of it.

    Args:
        code: what it is poured into.
        things: what is poured; a jar with its herb.
        into: what is in there already; None where all of it is poured together.
    """
    parts = [one.made for one in things if isinstance(one, Thing)]
    there = [set(_poisons(one)) for one in (*parts, *([into] if into else []))]
    new = {one.latin: one for part in parts for one in _poisons(part).values()}
    for latin, found in new.items():
        if not all(latin in one for one in there):
            what = f"it brings in a harmful herb; {_poisonous(found)}"
            yield Finding("harm", code, what, _DO, "question")


def _poisonous(found: "PlantCaution") -> str:
    how = "It may be poisonous" if found.is_guess else "It is poisonous"
    return f"{found.text}. {how}"


def _poisons(made: Contents) -> "dict[str, PlantCaution]":
    from tracker.core.herbs.plant_cautions import harm

    found = (harm(one.herb, one.part, None, one.form) for one in made.herbs)
    return {one.latin: one for one in found if one is not None and one.level == "poison"}
