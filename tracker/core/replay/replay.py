"""Replay: what a list of recorded facts means. Accepts whatever was once recorded.

An event that cannot apply, or that looks wrong, becomes a flag with its reason; it never
stops the replay. What may be recorded next is decided elsewhere, in `tracker.core.rules.gate`.
"""

from collections.abc import Collection, Iterable, Iterator, Sequence
from datetime import date
from typing import Literal

import msgspec

from tracker.core.facts.amendments import Amendment
from tracker.core.facts.entry import Entry
from tracker.core.facts.extracts import Pressed
from tracker.core.facts.jars import Shaken
from tracker.core.facts.kinds import starts
from tracker.core.facts.ties import WHOLE_SHELF, opener_of
from tracker.core.replay import jar_changes
from tracker.core.replay.apply import misdated, step
from tracker.core.replay.families import clusters, each_once, families
from tracker.core.replay.in_force import settle
from tracker.core.replay.waiting import Waiting
from tracker.core.shelf.blend import Blend
from tracker.core.shelf.codes import relabel, shown_codes, wants_relabelling
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.jar import Jar
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.misfit import Misfit, NothingOpens, NotOfSuch, Unreadable
from tracker.core.shelf.shelf import Shelf
from tracker.core.shelf.thing import Batch
from tracker.core.values.errors import TrackerError


class Lives(msgspec.Struct):
    """Jars, blends and lots that have to do with each other, and flags that have none."""

    batches: dict[str, Batch] = {}
    lots: dict[str, Lot] = {}
    strays: list[Flag] = []


def replay(entries: Iterable[Entry], *, through: date | None = None) -> Shelf:
    """The shelf after these entries, whatever order they come in and however often.

    With `through` it is the shelf as it stood at the end of that day: of what had happened
    by then, with all that is known of it now.
    """
    return next(shelves(entries, [through]))


def shelves(entries: Iterable[Entry], days: Iterable[date | None]) -> Iterator[Shelf]:
    """The shelf as it stood at the end of each of these days, the earliest first.

    Jars to which nothing happened between two days are told once, and stand in both shelves.
    """
    told = _families(entries)
    for day in days:
        yield _shelf_of([one.through(day) for one in told])


def shelves_between(
    entries: Iterable[Entry], first: date, last: date
) -> Iterator[tuple[date, list[Batch]]]:
    """Every jar and blend at the end of two days, and of each between with more than shakes.

    What was changed on a day alone is told once more for it. Where a code was given twice, only the
    first and the last day show which is which.
    """
    told = _families(entries)
    changed: dict[date, list[int]] = {}
    for number, one in enumerate(told):
        for day in one.days_between(first, last):
            changed.setdefault(day, []).append(number)
    lives = [one.through(first) for one in told]
    yield first, _shelf_of(lives).batches
    standing = {one.id: one for each in lives for one in each.batches.values()}
    for day in sorted(changed.keys() - {last}):
        for number in changed[day]:
            for gone in lives[number].batches:
                standing.pop(gone, None)
            lives[number] = told[number].through(day)
            standing |= lives[number].batches
        yield day, list(standing.values())
    yield last, _shelf_of([one.through(last) for one in told]).batches


def _families(entries: Iterable[Entry]) -> "list[_Family]":
    every = list(entries)
    by_jar = families(every, lambda entry: entry)
    return [
        _Family(kin, [entry for jar_id in kin for entry in by_jar[jar_id]])
        for kin in sorted(clusters(by_jar, every))
    ]


class _Family:
    """Jars that flow into each other, and their lives as they were told last."""

    def __init__(self, kin: Collection[str], entries: list[Entry]) -> None:
        self._settled = _settled(kin, entries)
        self._told: tuple[int, Lives] | None = None

    def through(self, day: date | None) -> Lives:
        """Their lives at the end of a day."""
        entries = self._settled.through(day)
        if self._told is None or self._told[0] != len(entries) or _is_relabelled(self._told[1]):
            self._told = len(entries), self._settled.told(entries)
        return self._told[1]

    def days_between(self, first: date, last: date) -> set[date]:
        """The days after the first, and through the last, on which more than shaking was done."""
        own = (one for one in self._settled.own if not isinstance(one.fact, Shaken))
        return {one.when.earliest for one in own if first < one.when.earliest <= last}


def _is_relabelled(lives: Lives) -> bool:
    """Whether any of them is shown under another code beside the others of a shelf."""
    every = (*lives.batches.values(), *lives.lots.values())
    return any(wants_relabelling(flag) for one in every for flag in one.flags)


def _shelf_of(families_told: Iterable[Lives]) -> Shelf:
    whole = Lives()
    for lives in families_told:
        whole.batches |= lives.batches
        whole.lots |= lives.lots
        whole.strays += lives.strays
    for shelved in (whole.batches, whole.lots):
        given = [(one.born, one.id, one.code) for one in shelved.values()]
        for one_id, code in shown_codes(given).items():
            relabel(shelved[one_id], code)
    batches = whole.batches.values()
    return Shelf(
        {one.id: one for one in batches if isinstance(one, Jar)},
        {one.id: one for one in batches if isinstance(one, Blend)},
        whole.lots,
        tuple(dict.fromkeys(whole.strays)),
    )


def lives_of(kin: Collection[str], entries: list[Entry], through: date | None = None) -> Lives:
    """The lives of jars that flow into each other, from every entry that touches any of them.

    Args:
        kin: their ids; most jars are alone.
        entries: whatever order they come in and however often.
        through: the last day of which anything counts; None for all of it.
    """
    settled = _settled(kin, entries)
    return settled.told(settled.through(through))


class _Settled(msgspec.Struct, frozen=True):
    """What is told of jars that flow into each other.

    Attributes:
        kin: their ids.
        own: the entries in force, in replay order.
        flags: what is said of entries before any is told.
        entries: every line about them, each once.
    """

    kin: Collection[str]
    own: list[Entry]
    flags: tuple[Flag, ...]
    entries: list[Entry]

    def through(self, day: date | None) -> list[Entry]:
        """What had happened by the end of a day."""
        if day is None:
            return self.own
        return [entry for entry in self.own if entry.when.earliest <= day]

    def told(self, own: Iterable[Entry]) -> Lives:
        """The lives that some of the entries make."""
        if WHOLE_SHELF in self.kin:
            return Lives(strays=[*self.flags])
        lives, rest = Lives(), []
        for entry in own:
            if starts(entry.fact):
                apply_entry(lives, entry)
            else:
                rest.append(entry)
        tell(lives, rest, self.kin)
        place(lives, self.flags, self.entries)
        return lives


def _settled(kin: Collection[str], entries: list[Entry]) -> _Settled:
    distinct, twice = each_once(entries)
    amended = {one.fact.event for one in distinct if isinstance(one.fact, Amendment)}
    copies = tuple(flag for flag in twice if flag.event not in amended)
    settled = settle(distinct)
    own = settled.entries
    # A correction may have moved an entry to another jar, or stand under the id of another entry.
    if amended or twice:
        own = [entry for entry in own if not set(entry.jars).isdisjoint(kin)]
    return _Settled(kin, own, (*settled.flags, *copies), distinct)


def tell(lives: Lives, entries: Sequence[Entry], kin: Collection[str]) -> None:
    """Go on with entries that start nothing, in replay order; `kin` is what they tell of."""
    waiting = Waiting.of(one for one in entries if not isinstance(one.fact, Shaken))
    for entry in entries:
        if isinstance(entry.fact, Shaken):  # most of any history, and opens nothing
            _open_shaken(lives, entry.fact.jars, kin, waiting)
            apply_entry(lives, entry)
        elif entry.id in waiting.entries:
            apply_next(lives, entry, waiting)


def place(lives: Lives, flags: Sequence[Flag], entries: Iterable[Entry]) -> None:
    """Put flags on the jars or lots of their events, ahead of what the replay found."""
    if not flags:
        return
    jars_of = {entry.id: entry.jars for entry in entries}
    for flag in reversed(flags):
        stands = [_thing(lives, jar_id) for jar_id in jars_of.get(flag.event, ())]
        found = next((one for one in stands if one is not None), None)
        if found is None:
            lives.strays.append(flag)
        else:
            found.flags.insert(0, flag)


def _thing(lives: Lives, jar_id: str) -> Batch | Lot | None:
    return lives.batches.get(jar_id) or lives.lots.get(jar_id)


def _things(lives: Lives, entry: Entry) -> list[Batch | Lot]:
    """Every jar, blend and lot there is of those that an entry belongs to."""
    jars = entry.jars
    if len(jars) > len(lives.batches) + len(lives.lots):  # it may name thousands, each on its own
        every: list[Batch | Lot] = [*lives.batches.values(), *lives.lots.values()]
        return [one for one in every if one.id in jars]
    return [one for jar_id in jars if (one := _thing(lives, jar_id)) is not None]


def apply_next(lives: Lives, entry: Entry, waiting: Waiting) -> None:
    """Apply one entry, but first whatever opens the things it is about.

    Days are often all that is known of two events, so their order within a day is not; a
    thing is opened before it is used all the same.
    """
    stack = [_with_openers(lives, waiting.take(entry.id), waiting)]
    while stack:
        top, openers = stack[-1]
        opener = next(openers, None)
        if opener is None:
            apply_entry(lives, top)
            stack.pop()
        else:
            stack.append(_with_openers(lives, waiting.take(opener.id), waiting))


def _with_openers(lives: Lives, entry: Entry, waiting: Waiting) -> tuple[Entry, Iterator[Entry]]:
    return entry, waiting.openers(lives.batches, entry.fact)


def _open_shaken(lives: Lives, jars: Sequence[str], kin: Collection[str], waiting: Waiting) -> None:
    """Apply what opens the jars that were shaken, if it waits."""
    if waiting.entries and len(jars) > len(kin):  # it may name thousands, each on its own
        unopened = (one for one in kin if one not in lives.batches)
        jars = sorted((one for one in unopened if one in jars), key=jars.index)
    for jar_id in jars if waiting.entries else ():
        opener = waiting.entries.get(opener_of(jar_id))
        if opener is not None and jar_id not in lives.batches:
            apply_next(lives, opener, waiting)


def apply_entry(lives: Lives, entry: Entry) -> None:
    """Tell one entry; what does not fit is flagged on everything of it that there is."""
    things = _things(lives, entry)
    misfit: Misfit | None = None
    if isinstance(entry.fact, Shaken):
        for one in things:
            if isinstance(one, Jar):
                _flag(one, entry, jar_changes.shaken(one, entry.when) or misdated(one, entry))
            else:
                what: Literal["lot", "blend"] = "lot" if isinstance(one, Lot) else "blend"
                _flag(one, entry, NotOfSuch(entry.kind, what))
    else:
        try:
            misfit = step(lives.batches, lives.lots, entry, entry.fact)
        except TrackerError as reason:
            misfit = Unreadable(reason.what)
        if misfit:  # what it opened says so as well
            things = _things(lives, entry)
        for one in things:
            _flag(one, entry, misfit or misdated(one, entry))
        if misfit and not things and starts(entry.fact):
            lives.strays.append(Flag(entry.id, misfit))
    if not things and not starts(entry.fact):
        lives.strays.append(Flag(entry.id, misfit or NothingOpens(entry.kind, "jar")))


def _flag(thing: Batch | Lot, entry: Entry, misfit: Misfit | None) -> None:
    if misfit is not None:
        asks = isinstance(entry.fact, Pressed) and _is_second(thing, entry.id)
        thing.flags.append(Flag(entry.id, misfit, asks=asks))


def _is_second(jar: Batch | Lot, pressing: str) -> bool:
    """Whether a pressing asks to be settled: another of the same steep stands."""
    return isinstance(jar, Jar) and jar.pressing is not None and jar.extract(pressing) is None
