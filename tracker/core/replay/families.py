"""Which entries belong to which jar: its own, and whatever amends them or they amend."""

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable
from datetime import datetime
from typing import TypeVar

from tracker.core.facts.amendments import Amendment
from tracker.core.facts.entry import Entry
from tracker.core.facts.kinds import LINKING, links
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.misfit import ContentsDiffer

Item = TypeVar("Item")


def families(items: Iterable[Item], entry_of: Callable[[Item], Entry]) -> dict[str, list[Item]]:
    """The items by the id of every jar they bear on.

    A correction can move an event to another jar, so an event, its amendments and theirs
    belong to all the jars that any of them names. So do two lines of one number that differ: only
    one of them counts.
    """
    by_jar: dict[str, list[Item]] = defaultdict(list)
    amended = False
    every = list(items)
    for item in every:
        entry = entry_of(item)
        for jar_id in entry.jars:
            by_jar[jar_id].append(item)
        amended = amended or isinstance(entry.fact, Amendment)
    if amended or len({entry_of(item).id for item in every}) < len(every):
        for linked in _linked(every, entry_of):
            for jar_id in {jar_id for item in linked for jar_id in entry_of(item).jars}:
                own = {id(item) for item in by_jar[jar_id]}
                by_jar[jar_id] += [item for item in linked if id(item) not in own]
    return by_jar


def clusters(by_jar: Iterable[str], entries: Iterable[Entry]) -> list[tuple[str, ...]]:
    """The jars and lots that flow into each other, each in one tuple; most are alone.

    An amendment of what joins them may join others.
    """
    linked: dict[str, set[str]] = {}
    every = [one for one in entries if isinstance(one.fact, (*LINKING, Amendment))]
    amended = {one.id: one.fact.event for one in every if isinstance(one.fact, Amendment)}
    root_of = _roots(amended)
    roots = {root_of.get(event, event) for event in amended.values()}
    for entry in every:
        if links(entry.fact) or (entry.id in roots and entry.id not in amended):
            linked.setdefault(entry.id, set()).update(entry.jars)
    for entry in every:
        root = root_of.get(entry.id, entry.id)
        if root != entry.id and root in linked:
            linked[root].update(entry.jars)
    groups = _Groups()
    for jars in linked.values():
        groups.join(jars)
    alone = [(jar_id,) for jar_id in by_jar if jar_id not in groups]
    return [*alone, *(tuple(sorted(one)) for one in groups.all())]


class _Groups:
    """What belongs together because one thing after another joined it."""

    def __init__(self) -> None:
        self._leads: dict[str, str] = {}

    def __contains__(self, one: str) -> bool:
        return one in self._leads

    def join(self, ids: Iterable[str]) -> None:
        """Put these in one group, with whatever is in a group with any of them."""
        first: str | None = None
        for one in ids:
            leader = self.leader(one)
            if first is None:
                first = leader
            self._leads[leader] = first

    def leader(self, one: str) -> str:
        """The one of a group that stands for it; of what was never joined, itself."""
        self._leads.setdefault(one, one)
        while (above := self._leads[one]) != one:
            self._leads[one] = one = self._leads[above]
        return one

    def all(self) -> list[list[str]]:
        """Every group, in the order of their first."""
        found: dict[str, list[str]] = defaultdict(list)
        for one in list(self._leads):
            found[self.leader(one)].append(one)
        return list(found.values())


def _roots(amended: dict[str, str]) -> dict[str, str]:
    """The event that each amendment, or amendment of one, is about in the end, by its id."""
    found: dict[str, str] = {}
    for first in amended:
        passed: dict[str, None] = {}
        event = first
        while event in amended and event not in found and event not in passed:
            passed[event] = None
            event = amended[event]
        # Where they amend each other in a circle, each leads to the same one.
        root = found.get(event, event)
        found |= dict.fromkeys(passed, root)
    return found


def joined_jars(items: Iterable[Item], entry_of: Callable[[Item], Entry]) -> set[str]:
    """The jars that amendments or two lines of one number join, or that flow into each other.

    One shake of many jars alone joins none.
    """
    every = list(items)
    amended = [item for linked in _linked(every, entry_of) for item in linked]
    flowing = [item for item in every if links(entry_of(item).fact)]
    return {jar_id for item in (*amended, *flowing) for jar_id in entry_of(item).jars}


def _linked(every: list[Item], entry_of: Callable[[Item], Entry]) -> list[list[Item]]:
    """The items that amendments join, or one number, group by group."""
    groups = _Groups()
    first: dict[tuple[str, str], Entry] = {}
    for item in every:
        entry = entry_of(item)
        if isinstance(entry.fact, Amendment):
            groups.join((entry.id, entry.fact.event))
        elif first.setdefault((entry.source, entry.id), entry) != entry:
            groups.join((entry.id,))
    found: dict[str, list[Item]] = defaultdict(list)
    for item in every:
        event = entry_of(item).id
        if event in groups:
            found[groups.leader(event)].append(item)
    return list(found.values())


def each_once(entries: list[Entry]) -> tuple[list[Entry], tuple[Flag, ...]]:
    """The entries without copies; two that share a number but differ are flagged.

    Of two that differ the one that was recorded first stands, so that every order of arrival
    gives the same state.
    """
    if len({entry.id for entry in entries}) == len(entries):
        return entries, ()
    # The same entry again for each jar it names; the whole text of one takes long to put down.
    given = list({id(one): one for one in entries}.values())
    places = Counter((one.recorded, one.sequence) for one in given)

    def arrived(one: Entry) -> tuple[datetime, int, str]:
        place = (one.recorded, one.sequence)
        return (*place, repr(one) if places[place] > 1 else "")

    kept: dict[tuple[str, str], Entry] = {}
    flags: dict[Flag, None] = {}
    for entry in sorted(given, key=arrived):
        first = kept.setdefault((entry.source, entry.id), entry)
        if first != entry:
            flags[Flag(entry.id, ContentsDiffer(), asks=True)] = None
    return list(kept.values()), tuple(flags)
