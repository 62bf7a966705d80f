"""The ratio of a liquid, herb to menstruum, and what it is counted by.

By menstruum poured, unless the finished volume was meant: then it is what came out, filtered
and made up, for all the herb that was charged. What is poured in later changes it, bottling
does not.
"""

import msgspec

from tracker.core.reckoning import amounts
from tracker.core.shelf.contents import Basis, Contents
from tracker.core.shelf.thing import Thing


class Ratio(msgspec.Struct, frozen=True):
    """R of 1:R, and what it is counted by."""

    r: float
    basis: Basis


def ratio_of(thing: Thing) -> Ratio | None:
    """The ratio of a jar, extract, blend or bottle; None where it cannot be said.

    A jar is counted by what was poured until its herb is out, then by what that gave.
    """
    jar, made = thing.jar, thing.made
    if jar is None or thing.extract is not None:
        return ratio_in(made)
    if jar.pressing is None:
        return _by_poured(made)
    if made.basis != "finished":
        return ratio_in(made)
    return None if made.again else _by_volume(jar.pressing.pressed_ml, made.charged_g)


def ratio_in(made: Contents) -> Ratio | None:
    """The ratio of what was taken off its herb.

    None where a herb was not weighed, where some of it stood on old marc, and where its parts
    are counted by different things.
    """
    if made.basis == "finished" and not made.again:
        return _by_volume(made.spread_ml, made.charged_g)
    return _by_poured(made)


def _by_poured(made: Contents) -> Ratio | None:
    found = None if made.again or made.basis == "mixed" else amounts.ratio(made)
    return None if found is None else Ratio(found, "poured")


def _by_volume(volume_ml: float, charged_g: float | None) -> Ratio | None:
    return Ratio(volume_ml / charged_g, "finished") if charged_g and volume_ml else None
