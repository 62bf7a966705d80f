"""What was done meanwhile on a value that was wrong: printed, given out or decided.

Between the writing down of an event and its correction people act on what the book says. Those
acts are not undone; they are named, so that somebody can look at each.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime

from tracker.core.facts.entry import (
    LINKING,
    STARTING,
    Entry,
    Recorded,
    Unknown,
    children,
    things_of,
)
from tracker.core.facts.extracts import Blended, Pressed, Refilled
from tracker.core.facts.fields import About, HerbFact
from tracker.core.facts.jars import DrawnOff, Joined, Recharged, Split
from tracker.core.facts.lots import Dried
from tracker.core.replay.families import each_once
from tracker.core.replay.in_force import AMENDING, settle

# Kinds, by the names on the lines, by which something is printed, given out or decided.
DEPENDING = frozenset(
    (
        *("labelled", "dispensed", "bottled", "refilled", "held", "released", "recalled"),
        *("charged", "herb_added", "topped_up", "recharged", "steeped_again", "dried"),
        *("pressed", "drawn_off", "split", "joined", "blended", "made_up", "diluted"),
        "discarded",
    )
)
# Fields that nothing is reckoned from.
REMARKS = frozenset({"note", "by", "written", "why"})


@dataclass(slots=True)
class _Touched:
    """The jars and lots, extracts and bottles that a value bears on."""

    wholes: set[str] = field(default_factory=set)
    jars: set[str] = field(default_factory=set)  # of which anything is touched
    extracts: set[str] = field(default_factory=set)
    bottles: set[tuple[str, int]] = field(default_factory=set)

    def add(self, about: About) -> None:
        self.jars.add(about.jar)
        if about.extract is None:
            self.wholes.add(about.jar)
        elif about.bottle is None:
            self.extracts.add(about.extract)
        else:
            self.bottles.add((about.extract, about.bottle))

    def has(self, about: About) -> bool:
        if about.jar in self.wholes or about.extract in self.extracts:
            return True
        if about.extract is None:
            return False
        if about.bottle is None:  # a jar's extract holds what its bottles were filled from
            return False
        return (about.extract, about.bottle) in self.bottles

    def has_any_of(self, fact: Unknown) -> bool:
        """Whether a kind not known here may be about it: it names no more than jars."""
        return not (self.wholes | self.jars).isdisjoint(fact.jars)

    def size(self) -> int:
        return len(self.wholes) + len(self.extracts) + len(self.bottles)


def reach(
    target: Entry, entries: Iterable[Entry], until: datetime, since: datetime | None = None
) -> list[Entry]:
    """What was done on an event's value before it was mended, in the order it was written.

    Args:
        target: the event whose value is mended, as it stood.
        entries: all of its jars and lots, and of whatever flowed out of them.
        until: when it is mended; what is written later knows of it.
        since: from when the wrong value stood; the recording of `target` where left out.
    """
    first = since or target.recorded
    told = [
        one
        for one in settle(each_once(list(entries))[0]).entries
        if one.id != target.id and not isinstance(one.fact, AMENDING)
    ]
    touched = _begun(target)
    before = -1
    while touched.size() > before:
        before = touched.size()
        for one in told:
            if _depends(touched, one):
                _opened(touched, one)
    found = [
        one
        for one in told
        if one.kind in DEPENDING and first <= one.recorded <= until and _depends(touched, one)
    ]
    return sorted(found, key=lambda one: (one.recorded, one.source, one.sequence))


def _begun(target: Entry) -> _Touched:
    """What an event is about in itself."""
    touched = _Touched()
    fact = target.fact
    if isinstance(fact, STARTING):
        touched.wholes.add(target.id)
    elif isinstance(fact, (*LINKING, Pressed, DrawnOff, Recharged)):
        _opened(touched, target)
    elif isinstance(fact, Unknown):
        touched.wholes |= set(fact.jars)
    else:
        for about in things_of(fact):
            touched.add(about)
    return touched


def _depends(touched: _Touched, entry: Entry) -> bool:
    fact = entry.fact
    if isinstance(fact, Unknown):
        return touched.has_any_of(fact)
    if isinstance(fact, Refilled):
        return touched.has(fact.source.about) or touched.has(fact.about)
    return any(map(touched.has, things_of(fact))) or not touched.wholes.isdisjoint(_lots_of(fact))


def _lots_of(fact: Recorded) -> set[str]:
    """The lots an event took herb or liquid from."""
    lots = {pour.lot for pour in getattr(fact, "pours", ()) if pour.lot is not None}
    if isinstance(fact, HerbFact) and fact.herb_lot is not None:
        lots.add(fact.herb_lot)
    return lots


def _opened(touched: _Touched, entry: Entry) -> None:
    """What an event that depends on a value passes it on to."""
    fact = entry.fact
    match fact:
        case Pressed() | DrawnOff():
            touched.add(About(jar=fact.about.jar, extract=entry.id))
        case Blended() | Joined() | Dried():
            touched.wholes.add(entry.id)
        case Split():
            touched.wholes |= {fact.about.jar, *children(entry.id, fact)}
        case Recharged():
            touched.wholes.add(fact.about.jar)
        case Refilled():
            touched.add(fact.about)
        case _ if _lots_of(fact):
            for about in things_of(fact):
                touched.add(about)
            if isinstance(fact, STARTING):
                touched.wholes.add(entry.id)
