"""How long a liquid has stood at a strength that may not keep it, whatever it came from.

The book does not know what the maker calls weak, so a spell is kept for every strength that
anybody may: what a threshold makes of the spells is `core/reckoning/keeps.py`.
"""

from collections.abc import Iterable
from datetime import date

import msgspec

from tracker.core.values.times import When

# No practice may call a strength weak that is not below this, % vol.
STRONG_PCT_VOL = 30.0


class Spell(msgspec.Struct, frozen=True, gc=False):
    """A liquid, or part of it, was no stronger than this from a day on.

    Attributes:
        pct_vol: ethanol, % vol; None where it is not known whether the liquid keeps.
        since: the first day it can have been so.
        until: the day it was made stronger; None while it has not been.
    """

    pct_vol: float | None
    since: date
    until: date | None = None


def spells_of(parts: Iterable[Spell], pct_vol: float | None, on: When) -> tuple[Spell, ...]:
    """The spells of a liquid that was made on a day out of parts with these.

    A part that was weaker than the whole has been made stronger; the whole has been as weak as
    the part for as long as it is no stronger. What is of a strength nobody knows is no help.

    Args:
        parts: the spells of everything that went into it.
        pct_vol: its strength now, % vol; None where it is not known whether it keeps.
        on: when; of an inexact day it is weak since the first, and made stronger on the last.
    """
    found = [Spell(pct_vol, on.earliest)] if pct_vol is None or pct_vol < STRONG_PCT_VOL else []
    for one in parts:
        if one.until is not None or pct_vol is None:
            found.append(one)
        else:
            found += _in_whole(one, pct_vol, on.latest)
    return _longest(dict.fromkeys(found))


def _in_whole(part: Spell, pct_vol: float, on: date) -> list[Spell]:
    """What a spell that had not ended becomes in a whole of this strength."""
    over = [Spell(part.pct_vol, part.since, on)] if part.since < on else []
    if part.pct_vol is None:
        return over
    if pct_vol <= part.pct_vol:
        return [part]
    return [*over, *([Spell(pct_vol, part.since)] if pct_vol < STRONG_PCT_VOL else [])]


def _longest(spells: Iterable[Spell]) -> tuple[Spell, ...]:
    """Without those that another was as weak as, for all of their time."""
    every = list(spells)
    if len(every) < 2:
        return tuple(every)
    return tuple(
        one for one in every if not any(other is not one and _covers(other, one) for other in every)
    )


def _covers(other: Spell, one: Spell) -> bool:
    if (other.pct_vol is None) is not (one.pct_vol is None):
        return False
    is_as_weak = one.pct_vol is None or (other.pct_vol or 0.0) <= one.pct_vol
    lasts = other.until is None or (one.until is not None and other.until >= one.until)
    return is_as_weak and other.since <= one.since and lasts
