"""What happened to one extract or bottle: what led to it, and then its own."""

from collections.abc import Sequence

import msgspec

from tracker.core.facts.amendments import Amendment
from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import (
    Bottled,
    Diluted,
    Discarded,
    Filtered,
    MadeUp,
    PressedAgain,
    Restored,
    Settled,
)
from tracker.core.facts.fields import About
from tracker.core.facts.jars import LookedAt, Moved
from tracker.core.facts.kinds import Recorded, Unknown, bears_on, things_of, traits_of
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.thing import Thing

# What changes all of an extract, and so a bottle that is filled of it afterwards.
_OF_ALL = (Filtered, Settled, MadeUp, Diluted, PressedAgain)


def has_own_thread(thing: Thing) -> bool:
    """Whether more may have happened to its jar or blend than belongs to it."""
    if thing.extract is None:
        return False
    return thing.bottle is not None or isinstance(thing.batch, Jar)


def own_thread(entries: Sequence[Entry], thing: Thing) -> list[Entry]:
    """The entries that led to an extract or bottle and those about it, in the order given.

    Whatever puts a hold on what it came from, or lifts one, is among them. What amends an entry
    goes with it.
    """
    assert thing.extract is not None
    walk = _Walk(thing, thing.extract.id)
    kept = {one.id for one in entries if not isinstance(one.fact, Amendment) and walk.keeps(one)}
    amending = [one for one in entries if isinstance(one.fact, Amendment)]
    while new := {
        one.id
        for one in amending
        if isinstance(one.fact, Amendment) and one.fact.event in kept and one.id not in kept
    }:
        kept |= new
    return [one for one in entries if one.id in kept]


class _Walk(msgspec.Struct):
    """A walk through the entries of a jar or blend, in their order."""

    thing: Thing
    extract: str
    is_opened: bool = False
    is_bottled: bool = False

    def keeps(self, entry: Entry) -> bool:
        """Whether an entry belongs to the thread."""
        fact, own = entry.fact, self.thing.batch.id
        if isinstance(fact, Unknown):
            return True
        opened = {one.extract for one in bears_on(entry.id, fact)} - {None}
        is_opening = entry.id == self.extract
        self.is_opened |= is_opening
        if traits_of(fact).opens == "extract" and not is_opening and self.extract not in opened:
            return False
        abouts = [one for one in (*bears_on(entry.id, fact), *things_of(fact)) if one.jar == own]
        return is_opening or any(self._of(one, fact) for one in abouts)

    def _of(self, about: About, fact: Recorded) -> bool:
        bottle = self.thing.bottle
        extract = about.extract or (None if isinstance(self.thing.batch, Jar) else self.extract)
        if extract is None:
            return holds(fact) or (makes(fact) and not self.is_opened)
        if extract != self.extract:
            return False
        if bottle is None or about.bottle is not None:
            return bottle is None or about.bottle == bottle.number
        if isinstance(fact, Bottled):
            return self._fills(fact, bottle.number)
        if isinstance(fact, _OF_ALL):
            return not self.is_bottled
        if isinstance(fact, Discarded):
            return fact.volume_ml is None
        return holds(fact) or isinstance(fact, Moved | Restored)

    def _fills(self, fact: Bottled, number: int) -> bool:
        fills = any(run.first <= number < run.first + run.count for run in fact.bottles)
        self.is_bottled |= fills
        return fills


def holds(fact: Recorded) -> bool:
    """Whether it says something of whether a thing may be given out."""
    if isinstance(fact, LookedAt):
        return fact.verdict != "fine" or fact.lifts is not None
    return traits_of(fact).hold is not None


def makes(fact: Recorded) -> bool:
    """Whether what is in a jar is made of it."""
    traits = traits_of(fact)
    return traits.contents == "changed" or traits.opens in ("jar", "steep")
