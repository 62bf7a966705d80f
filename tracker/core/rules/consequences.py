"""What was done meanwhile on a value that was wrong: printed, given out or decided.

Between the writing down of an event and its correction people act on what the book says. Those
acts are not undone; they are named, so that somebody can look at each.
"""

from collections.abc import Iterable
from datetime import datetime

import msgspec

from tracker.core.facts.amendments import Amendment, Corrected
from tracker.core.facts.entry import Entry, replay_order
from tracker.core.facts.fields import About
from tracker.core.facts.kinds import Unknown, bears_on, depends, lots_used, things_of
from tracker.core.replay.families import each_once
from tracker.core.replay.in_force import settle

# Fields that nothing is reckoned from.
REMARKS = frozenset({"note", "by", "written", "why"})


def is_remark(fact: Amendment) -> bool:
    """Whether it corrects nothing but fields that nothing is reckoned from."""
    if not isinstance(fact, Corrected):
        return False
    again = fact.set.get("set")
    return REMARKS.issuperset(again if isinstance(again, dict) else fact.set)


class _Touched(msgspec.Struct):
    """The jars and lots, extracts and bottles that a value bears on."""

    wholes: set[str] = set()
    jars: set[str] = set()  # of which anything is touched
    extracts: set[str] = set()
    bottles: set[tuple[str, int]] = set()

    def add(self, about: About) -> None:
        self.jars.add(about.jar)
        if about.extract is None:
            self.wholes.add(about.jar)
        elif about.bottle is None:
            self.extracts.add(about.extract)
        else:
            self.bottles.add((about.extract, about.bottle))

    def add_all(self, abouts: Iterable[About]) -> None:
        for about in abouts:
            if not self.has(about):
                self.add(about)

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
    """What was done on an event's value before it was corrected, in the order it was written.

    Args:
        target: the event whose value is corrected, as it stood.
        entries: all of its jars and lots, and of whatever flowed out of them.
        until: when it is corrected; what is written later knows of it.
        since: from when the wrong value stood; the recording of `target` where left out.
    """
    first = since or target.recorded
    found = [
        one
        for one in hanging_on(target, entries)
        if depends(one.fact) and first <= one.recorded <= until
    ]
    return sorted(found, key=lambda one: (one.recorded, one.source, one.sequence))


def done_after(target: Entry, entries: Iterable[Entry]) -> list[Entry]:
    """What happened later to what an event is about, in its order.

    Args:
        target: the event, as it stands.
        entries: all of its jars and lots, and of whatever flowed out of them.
    """
    found = hanging_on(target, entries)
    return [one for one in found if replay_order(one) > replay_order(target)]


def hanging_on(target: Entry, entries: Iterable[Entry]) -> list[Entry]:
    """The events in force that are about what an event is about, or what came of it."""
    told = [
        one
        for one in settle(each_once(list(entries))[0]).entries
        if one.id != target.id and not isinstance(one.fact, Amendment)
    ]
    touched = _Touched()
    touched.add_all(bears_on(target.id, target.fact))
    before = -1
    while touched.size() > before:
        before = touched.size()
        for one in told:
            if _hangs_on(touched, one) and not isinstance(one.fact, Unknown):
                touched.add_all(bears_on(one.id, one.fact))
    return [one for one in told if _hangs_on(touched, one)]


def _hangs_on(touched: _Touched, entry: Entry) -> bool:
    fact = entry.fact
    if isinstance(fact, Unknown):
        return touched.has_any_of(fact)
    return any(map(touched.has, things_of(fact))) or not touched.wholes.isdisjoint(lots_used(fact))
