"""The room that a gram of herb takes up: by the maker's own jars, else by its form."""

from collections.abc import Iterable
from typing import Final

import msgspec

from tracker.core.facts.fields import Form
from tracker.core.shelf.jar import Jar

# Room that a gram of herb takes up in the liquid, ml. Both from practice, no source.
# Fresh: a 500 ml jar takes about 87 g at 1:5 (0.75 ml/g) and about 63 g at 1:7 (0.94); a US
# quart takes 10 to 11 oz in 20 to 22 fl oz (1.25 to 0.95). 0.813 meets the first two within
# a gram. Dried: what plants are built of weighs about 1.5 g/ml (from memory), 0.67 ml/g, and
# a little air stays in it.
DISPLACEMENT_ML_PER_G: Final[dict[Form, float]] = {"fresh": 0.813, "dried": 0.7}
DISPLACEMENT_BAND: Final[dict[Form, tuple[float, float]]] = {
    "fresh": (0.75, 1.25),
    "dried": (0.6, 0.8),
}
DISPLACEMENT_BASIS: Final[dict[Form, str]] = {
    "fresh": "kitchen figures of 0.75 to 1.25, no source",
    "dried": "plant matter of about 1.5 g/ml and a little air, from memory",
}

# From so many jars of one's own on, they say more than the form does: a choice, no source.
LEAST_JARS: Final = 3


class Displacement(msgspec.Struct, frozen=True):
    """The room one gram takes up, ml, and on what that rests.

    Attributes:
        jars: how many of the maker's own jars it is the median of; 0 for the form's default.
        seen: how many jars of one's own were read; below `LEAST_JARS` they change nothing.
    """

    ml_per_g: float
    low_ml_per_g: float
    high_ml_per_g: float
    basis: str
    jars: int = 0
    seen: int = 0


def default_displacement(form: Form, seen: int = 0) -> Displacement:
    """What herb of that form takes up where too few jars were read."""
    low, high = DISPLACEMENT_BAND[form]
    return Displacement(DISPLACEMENT_ML_PER_G[form], low, high, DISPLACEMENT_BASIS[form], seen=seen)


def learnt(jars: Iterable[Jar], herb: str, part: str | None, form: Form) -> Displacement:
    """What a herb takes up by the maker's own jars of it, the last reading of each.

    Args:
        jars: any jars.
        herb: as the book names it.
        part: None for whatever part was used.
        form: fresh or dried.

    Returns:
        Median, least and most of `LEAST_JARS` or more; else the form's default.
    """
    found = sorted(one for jar in jars if (one := _last(jar, herb, part, form)) is not None)
    if len(found) < LEAST_JARS:
        return default_displacement(form, len(found))
    from statistics import median

    basis = f"the median of {len(found)} jars of your own"
    return Displacement(median(found), found[0], found[-1], basis, len(found), len(found))


def _last(jar: Jar, herb: str, part: str | None, form: Form) -> float | None:
    """What the last reading of a jar says of that herb; one below nothing was misread."""
    for one in reversed(jar.fills):
        found = one.displacement_ml_per_g
        is_it = one.herb is not None and one.herb.casefold() == herb.casefold()
        is_part = part is None or (one.part or "").casefold() == part.casefold()
        if is_it and is_part and one.form == form and one.is_measured and found and found > 0:
            return found
    return None
