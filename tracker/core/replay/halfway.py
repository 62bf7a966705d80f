"""A history told as far as one of its days, to put an entry in there: the rest is told after it.

A page of days long past puts line after line into the middle of one life. Told from its
beginning for each, a page of thousands would take the square of its length.
"""

from bisect import bisect_left
from collections.abc import Iterable, Sequence

import msgspec
from msgspec.structs import replace

from tracker.core.facts.amendments import Amendment, SameAs
from tracker.core.facts.entry import Entry, replay_order
from tracker.core.facts.extracts import Bottled, Restored
from tracker.core.facts.fields import About
from tracker.core.facts.jars import Shaken
from tracker.core.facts.kinds import starts, things_of
from tracker.core.facts.ties import WHOLE_SHELF, opener_of
from tracker.core.replay.in_force import settle
from tracker.core.replay.replay import Lives, apply_entry, flag_missing, place, tell
from tracker.core.replay.waiting import Waiting
from tracker.core.shelf.flag import Flag
from tracker.core.shelf.lot import Lot
from tracker.core.shelf.thing import Batch

_BATCH: msgspec.json.Decoder[Batch] = msgspec.json.Decoder(Batch)
_LOT = msgspec.json.Decoder(Lot)
# A way back is kept every so many entries.
_STRIDE = 64

Order = tuple[object, ...]


def copy_of(lives: Lives, ids: Iterable[str] | None = None) -> Lives:
    """Lives that can be gone on with, and these stay as they are; of all things or only some."""
    wanted = None if ids is None else set(ids)
    return Lives(
        {
            one_id: _BATCH.decode(msgspec.json.encode(one))
            for one_id, one in lives.batches.items()
            if wanted is None or one_id in wanted
        },
        {
            one_id: _LOT.decode(msgspec.json.encode(one))
            for one_id, one in lives.lots.items()
            if wanted is None or one_id in wanted
        },
        [] if wanted is not None else list(lives.strays),
    )


class Halfway:
    """The history that some lines make, told in order as far as it was asked for.

    Args:
        entries: everything about things that have to do with each other, amendments included.
    """

    def __init__(self, entries: Iterable[Entry]) -> None:
        self._lines = list(entries)
        self._kin = {jar for one in self._lines for jar in one.jars} - {WHOLE_SHELF}
        settled = settle(self._lines)
        self._flags: Sequence[Flag] = settled.flags
        amending = [one.fact for one in self._lines if isinstance(one.fact, Amendment)]
        self._amended = {one.event for one in amending}
        self._amended |= {one.stands for one in amending if isinstance(one, SameAs)}
        own = settled.entries
        if amending:  # as `lives_of` has it
            own = [one for one in own if not self._kin.isdisjoint(one.jars)]
        self._rest = [one for one in own if not starts(one.fact)]
        self._orders = [replay_order(one) for one in self._rest]
        begun = Lives()
        for one in own:
            if starts(one.fact):
                apply_entry(begun, one)
        self._order_of = {
            one.id: order for one, order in zip(self._rest, self._orders, strict=True)
        }
        self._last_fill: dict[str | None, Order] = {}
        self._named: set[str | None] = set()
        self._bottles: set[About] = set()
        for one in self._rest:
            self._note(one)
        self._stops: list[tuple[int, Lives]] = [(0, copy_of(begun))]
        self._told, self._lives = 0, begun
        self._waiting = self._ahead(0)

    def _note(self, entry: Entry) -> None:
        if isinstance(entry.fact, Bottled):
            order = replay_order(entry)
            extract = entry.fact.about.extract
            self._last_fill[extract] = max(self._last_fill.get(extract, order), order)
        self._named |= _named(entry)
        self._bottles.update(one for one in things_of(entry.fact) if one.bottle is not None)

    def _ahead(self, place: int) -> Waiting:
        return Waiting.of(one for one in self._rest[place:] if not isinstance(one.fact, Shaken))

    def before(self, entry: Entry) -> Lives | None:
        """The things as they stood when an entry happened; only to be looked at.

        None where something has to be told out of its order, now or by what the entry names.
        """
        order = replay_order(entry)
        if not self.has_place_for(entry) or self._names_what_is_to_come(entry, order):
            return None
        return self._lives if self._tell_to(bisect_left(self._orders, order)) else None

    def has_place_for(self, entry: Entry) -> bool:
        """Whether an entry can be put in without telling what is before it once more."""
        return not self._is_new_here(entry) and not self._is_waited_for(entry)

    def _is_new_here(self, entry: Entry) -> bool:
        """Whether an entry starts something, or is about what is not among these things."""
        others = (jar for jar in entry.jars if opener_of(jar) != entry.id)
        return starts(entry.fact) or not self._kin.issuperset(others)

    def _is_waited_for(self, entry: Entry) -> bool:
        """Whether something of another day names an entry, what it opens or what it fills."""
        if entry.id in self._named or entry.id in self._amended:
            return True
        return isinstance(entry.fact, Bottled) and not self._bottles.isdisjoint(filled(entry.fact))

    def _names_what_is_to_come(self, entry: Entry, order: Order) -> bool:
        """Whether a later entry opens or fills what this one is about."""
        for about in things_of(entry.fact):
            fill = self._last_fill.get(about.extract) if about.bottle else None
            if fill is not None and fill > order:
                return True
        return any(self._order_of.get(one or "", order) > order for one in _named(entry))

    def _tell_to(self, place: int) -> bool:
        """Tell in order as far as a place; whether nothing had to be told out of its order."""
        if place < self._told:
            while self._stops[-1][0] > place:
                self._stops.pop()
            self._told, kept = self._stops[-1]
            self._lives = copy_of(kept)
            self._waiting = self._ahead(self._told)
        while self._told < place:
            entry = self._rest[self._told]
            if self._is_out_of_order(entry):
                return False
            apply_entry(self._lives, entry)
            self._told += 1
            if self._told >= self._stops[-1][0] + _STRIDE:
                self._stops.append((self._told, copy_of(self._lives)))
        return True

    def _is_out_of_order(self, entry: Entry) -> bool:
        """Whether something that waits has to be told before an entry."""
        batches, waiting = self._lives.batches, self._waiting
        if isinstance(entry.fact, Shaken):
            return any(
                opener_of(jar) in waiting.entries and jar not in batches for jar in entry.fact.jars
            )
        waiting.take(entry.id)
        if waiting.opener(batches, entry.fact) is None:
            return False
        waiting.entries[entry.id] = entry
        return True

    def with_entry(self, entry: Entry) -> Lives:
        """All of it with one more entry, told to its end; `before` was asked about it first."""
        lives = copy_of(self._lives)
        tell(lives, [entry, *self._rest[self._told :]], self._kin)
        flag_missing(lives, [entry, *self._rest], [entry, *self._lines])
        place(lives, self._flags, [*self._lines, entry])
        return lives

    def changes_nothing(self, entry: Entry) -> bool:
        """Whether an entry leaves all as it was, as a remark does; `before` was asked first."""
        tried = copy_of(self._lives, entry.jars)
        apply_entry(tried, entry)
        flag_missing(tried, [entry], self._lines)
        before = self._lives
        return (
            not tried.strays
            and all(before.batches.get(one) == batch for one, batch in tried.batches.items())
            and all(before.lots.get(one) == lot for one, lot in tried.lots.items())
        )

    def add(self, entry: Entry) -> None:
        """Take in an entry that there is a place for."""
        at = bisect_left(self._orders, replay_order(entry))
        self._rest.insert(at, entry)
        self._orders.insert(at, replay_order(entry))
        self._order_of[entry.id] = self._orders[at]
        self._lines.append(entry)
        self._kin.update(entry.jars)
        self._note(entry)
        while self._stops[-1][0] > at:
            self._stops.pop()
        if at < self._told:
            self._told, kept = self._stops[-1]
            self._lives = copy_of(kept)
            self._waiting = self._ahead(self._told)
        elif not isinstance(entry.fact, Shaken):
            self._waiting.add(entry)


def filled(fact: Bottled) -> Iterable[About]:
    """The bottles it fills."""
    numbers = (run.first + place for run in fact.bottles for place in range(run.count))
    return (replace(fact.about, bottle=number) for number in numbers)


def _named(entry: Entry) -> set[str | None]:
    """The ids of what has to be there before an entry."""
    fact = entry.fact
    found: set[str | None] = {fact.discard} if isinstance(fact, Restored) else set()
    for about in things_of(fact):
        found |= {opener_of(about.jar), about.extract}
    return found - {None}
