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
    belong to all the jars that any of them names.
    """
    by_jar: dict[str, list[Item]] = defaultdict(list)
    amended = False
    every = list(items)
    for item in every:
        entry = entry_of(item)
        for jar_id in entry.jars:
            by_jar[jar_id].append(item)
        amended = amended or isinstance(entry.fact, Amendment)
    if amended:
        for linked in _linked(every, entry_of):
            for jar_id in {jar_id for item in linked for jar_id in entry_of(item).jars}:
                own = {id(item) for item in by_jar[jar_id]}
                by_jar[jar_id] += [item for item in linked if id(item) not in own]
    return by_jar


def clusters(by_jar: Iterable[str], entries: Iterable[Entry]) -> list[tuple[str, ...]]:
    """The jars and lots that flow into each other, each in one tuple; most are alone.

    An amendment of what joins them may join others.
    """
    group: dict[str, set[str]] = {}
    linked: dict[str, set[str]] = {}
    every = [one for one in entries if isinstance(one.fact, (*LINKING, Amendment))]
    amended = {one.id: one.fact.event for one in every if isinstance(one.fact, Amendment)}
    roots = {_root(event, amended) for event in amended.values()}
    for entry in every:
        if links(entry.fact) or (entry.id in roots and entry.id not in amended):
            linked.setdefault(entry.id, set()).update(entry.jars)
    for entry in every:
        root = _root(entry.id, amended)
        if root != entry.id and root in linked:
            linked[root].update(entry.jars)
    for jars in linked.values():
        whole = set().union(jars, *(group[jar] for jar in jars if jar in group))
        group |= dict.fromkeys(whole, whole)
    alone = [(jar_id,) for jar_id in by_jar if jar_id not in group]
    joined = {id(one): tuple(sorted(one)) for one in group.values()}
    return [*alone, *joined.values()]


def _root(event: str, amended: dict[str, str]) -> str:
    """The event that an amendment, or an amendment of one, is about in the end."""
    met = {event}
    while event in amended and amended[event] not in met:
        event = amended[event]
        met.add(event)
    return event


def joined_jars(items: Iterable[Item], entry_of: Callable[[Item], Entry]) -> set[str]:
    """The jars that amendments join, or that flow into each other.

    One shake of many jars alone joins none.
    """
    every = list(items)
    amended = [item for linked in _linked(every, entry_of) for item in linked]
    flowing = [item for item in every if links(entry_of(item).fact)]
    return {jar_id for item in (*amended, *flowing) for jar_id in entry_of(item).jars}


def _linked(every: list[Item], entry_of: Callable[[Item], Entry]) -> list[list[Item]]:
    """The items that amendments join, group by group."""
    joined: dict[str, set[str]] = {}
    for item in every:
        entry = entry_of(item)
        if isinstance(entry.fact, Amendment):
            group = joined.get(entry.id, {entry.id}) | joined.get(
                entry.fact.event, {entry.fact.event}
            )
            joined |= dict.fromkeys(group, group)
    by_group: dict[int, list[Item]] = defaultdict(list)
    for item in every:
        if (group_of := joined.get(entry_of(item).id)) is not None:
            by_group[id(group_of)].append(item)
    return list(by_group.values())


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
